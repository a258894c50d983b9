export default {
  en: {
    intro: 'A whole data set looked at: groups that differ by about the declination or twice it, settings gone stale, places out of line. It asks; it changes nothing.',
    paste: 'Data set', 'paste-hint': 'CSV with a header line, with the columns of a notebook; also instrument, observer.', choose: 'Choose a file', run: 'Look through', working: 'Asking the service …',
    sent: 'The data set goes to {origin} and to no one else; it keeps no copy.', findings: 'What it asks', none: 'Nothing stood out.', counts: 'Counts', todo: 'What to do',
    needs: 'Paste a data set first.', absent: 'This service does not offer reviews.', download: 'Download as JSON',
    rows: 'Rows',
  },
  de: {
    intro: 'Ein ganzer Datensatz durchgesehen: Gruppen, die um etwa die Deklination oder das Doppelte abweichen, veraltete Einstellungen, Orte außer der Reihe. Es fragt und ändert nichts.',
    paste: 'Datensatz', 'paste-hint': 'CSV mit Kopfzeile, mit den Spalten eines Feldbuchs; dazu instrument, observer.', choose: 'Datei wählen', run: 'Durchsehen', working: 'Der Dienst wird gefragt …',
    sent: 'Der Datensatz geht an {origin} und an niemanden sonst; dort bleibt keine Kopie.', findings: 'Was gefragt wird', none: 'Nichts fällt auf.', counts: 'Zahlen', todo: 'Was zu tun ist',
    needs: 'Zuerst einen Datensatz einfügen.', absent: 'Dieser Dienst bietet keine Durchsicht an.', download: 'Als JSON herunterladen',
    rows: 'Zeilen',
  },
};
