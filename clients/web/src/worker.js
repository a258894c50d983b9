// The model library beside the page: loads the module and the coefficients, answers calls in order.
import { Library } from './lib/library.js';

let library;
let everything;

async function json(path) {
  const response = await fetch(path);
  if (!response.ok) throw new Error(`${path}: ${response.status}`);
  return response.json();
}

async function begin() {
  const [module, ...models] = await Promise.all([
    fetch(__WASM__).then((response) => response.arrayBuffer()),
    json(__MODELS__.wmm2025),
    json(__MODELS__.igrf14),
  ]);
  library = await Library.create(module);
  library.call('load', { models });
  // What is rarely asked for comes afterwards; a call that needs it waits.
  everything = Promise.all([json(__MODELS__.gufm1), json(__MODELS__.wmmhr2025)]).then((more) => {
    library.call('load', { models: more });
    postMessage({ event: 'more' });
  });
  everything.catch(() => postMessage({ event: 'less' }));
}

const begun = begin();

async function answer(name, input) {
  await begun;
  const first = library.call(name, input);
  // A date before 1900, or a model that is still on its way.
  const early = ['date-outside-models', 'model-unknown'].includes(first.problem?.code);
  if (!early && name !== 'notebook' && name !== 'models') return first;
  try {
    await everything;
  } catch {
    return first;
  }
  return library.call(name, input);
}

let last = Promise.resolve();
onmessage = ({ data: { id, name, input } }) => {
  last = last.then(async () => {
    try {
      postMessage({ id, answer: await answer(name, input) });
    } catch (error) {
      postMessage({ id, fault: String(error?.message ?? error) });
    }
  });
};
