export default {
  en: {
    title: 'Card', 'title-route': 'Card of the route', back: 'Back to the setting', 'back-route': 'Back to the route',
    name: 'Name of the place, as you call it', 'route-name': 'Name of the route', 'name-hint': 'Printed on the card; may stay blank.',
    print: 'Print', 'save-pdf': 'As PDF', 'save-png': 'As PNG', working: 'The card is being drawn …',
    'no-place': 'A card needs a place.', 'to-answer': 'Say where.', 'needs-service': 'The service that draws the card cannot be reached.',
    fold: 'One page of A4, black only; it folds to A6. Fill in the blanks by hand.',
  },
  de: {
    title: 'Feldkarte', 'title-route': 'Feldkarte der Route', back: 'Zurück zur Einstellung', 'back-route': 'Zurück zur Route',
    name: 'Name des Orts, wie Sie ihn nennen', 'route-name': 'Name der Route', 'name-hint': 'Steht auf der Karte; darf leer bleiben.',
    print: 'Drucken', 'save-pdf': 'Als PDF', 'save-png': 'Als PNG', working: 'Die Karte wird gezeichnet …',
    'no-place': 'Eine Karte braucht einen Ort.', 'to-answer': 'Ort angeben.', 'needs-service': 'Der Dienst, der die Karte zeichnet, ist nicht zu erreichen.',
    fold: 'Eine Seite A4, nur schwarz; sie lässt sich auf A6 falten. Die Lücken von Hand ausfüllen.',
  },
};
