export default {
  en: {
    intro: 'What a compass reads wrong, from sightings of known directions: one a row, each with the azimuth as read and the known one.',
    paste: 'Sightings', 'paste-hint': 'CSV with a header line: instrument, azimuth, set_declination, known_azimuth, known_north; also place and date, or give them here once for all.',
    choose: 'Choose a file', example: 'Fill in an invented example', run: 'Find the index errors', working: 'Asking the service …',
    graduation: 'Graduation read to', result: 'Index errors', error: 'Azimuth: {value}', shape: 'with the heading: {values}', used: '{used} of {all} sightings used', left: 'Left out',
    vertical: 'Vertical angle: {value}', dip: 'Dip: {value}', report: 'The whole report', unnamed: 'Instrument without a name', cautions: 'Take note',
    'needs': 'Paste sightings first.', sent: 'The sightings go to {origin} and to no one else.', nothing: 'no index error could be found',
  },
  de: {
    intro: 'Was ein Kompass falsch zeigt, aus Visuren bekannter Richtungen: je Zeile eine, mit dem abgelesenen und dem bekannten Azimut.',
    paste: 'Visuren', 'paste-hint': 'CSV mit Kopfzeile: instrument, azimuth, set_declination, known_azimuth, known_north; dazu place und date, oder hier einmal für alle.',
    choose: 'Datei wählen', example: 'Erfundenes Beispiel einsetzen', run: 'Indexfehler suchen', working: 'Der Dienst wird gefragt …',
    graduation: 'Abgelesen auf', result: 'Indexfehler', error: 'Azimut: {value}', shape: 'mit der Richtung: {values}', used: '{used} von {all} Visuren verwendet', left: 'Ausgelassen',
    vertical: 'Höhenwinkel: {value}', dip: 'Fallen: {value}', report: 'Der ganze Bericht', unnamed: 'Instrument ohne Namen', cautions: 'Bitte beachten',
    'needs': 'Zuerst Visuren einfügen.', sent: 'Die Visuren gehen an {origin} und an niemanden sonst.', nothing: 'kein Indexfehler zu finden',
  },
};
