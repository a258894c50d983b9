// The views in the order of the tabs. A view is a module whose default function fills `main` and may return what ends
// it: (main, {heading, redraw}) => end. Its words stand in ../words/<name>.js, its tab in ../words/frame.js as
// view-<name>.
export const views = [
  { name: 'answer', load: () => import('./answer.js') },
  { name: 'reading', load: () => import('./reading.js') },
  { name: 'notebook', load: () => import('./notebook.js') },
  { name: 'chart', load: () => import('./chart.js') },
  { name: 'route', load: () => import('./route.js') },
  { name: 'instruments', load: () => import('./instruments.js') },
  { name: 'fit', load: () => import('./fit.js') },
  { name: 'review', load: () => import('./review.js') },
  { name: 'about', load: () => import('./about.js') },
  // Reached from another view: no tab.
  { name: 'card', quiet: true, load: () => import('./card.js') },
];
