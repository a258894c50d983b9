export default {
  en: {
    intro: 'The models of the earth\'s field that answer here, on this device. Each was held against its published values when it was loaded.',
    name: 'Model', span: 'Years', degree: 'Degree', source: 'Source', licence: 'Licence',
    passed: 'All published check values are reproduced.',
    failed: 'Published check values are not reproduced: do not use these answers.',
    checks: 'Published values compared',
    row: '{name}: {values} values, {wrong} wrong',
    offline: 'Without a network',
    'offline-more': 'After one visit, lookups, settings, single readings, the chart, the card of a place, and notebooks as CSV work without a network. Other file types, routes, instruments, fits and reviews need the service.',
    loading: 'Loading the models …',
  },
  de: {
    intro: 'Die Modelle des Erdfelds, die hier auf diesem Gerät antworten. Jedes wurde beim Laden an seinen veröffentlichten Werten geprüft.',
    name: 'Modell', span: 'Jahre', degree: 'Grad', source: 'Quelle', licence: 'Lizenz',
    passed: 'Alle veröffentlichten Prüfwerte werden getroffen.',
    failed: 'Veröffentlichte Prüfwerte werden nicht getroffen: diese Antworten nicht verwenden.',
    checks: 'Verglichene veröffentlichte Werte',
    row: '{name}: {values} Werte, {wrong} falsch',
    offline: 'Ohne Netz',
    'offline-more': 'Nach einem Besuch gehen Auskünfte, Einstellungen, einzelne Messungen, die Karte mit den Isogonen, die Feldkarte eines Ortes und Feldbücher als CSV ohne Netz. Andere Dateiarten, Routen, Instrumente, Indexfehler und Durchsichten brauchen den Dienst.',
    loading: 'Die Modelle werden geladen …',
  },
};
