package record

import "fieldheld/ingest/table"

// Columns beside those that a job sheet can name: they are known so that they
// are not taken for something else, or are kept as they are written.
const (
	unixTime     table.Column = "unix time"
	elapsedTime  table.Column = "elapsed time"
	net          table.Column = "net power"
	startDate    table.Column = "start date"
	endDate      table.Column = "end date"
	validity     table.Column = "validity"
	levelSet     table.Column = "level set"
	observation  table.Column = "observation"
	battery      table.Column = "battery"
	temperature  table.Column = "temperature"
	uncertainty  table.Column = "uncertainty"
	asset        table.Column = "asset"
	description  table.Column = "description"
	maker        table.Column = "maker"
	model        table.Column = "model"
	serial       table.Column = "serial"
	calibrated   table.Column = "calibrated"
	due          table.Column = "due"
	certificate  table.Column = "certificate"
	traceability table.Column = "traceability"
	rangeFrom    table.Column = "from"
	rangeTo      table.Column = "to"
)

// words are the names that headers give to quantities, one line a quantity and
// language. Case, accents, blanks and punctuation do not count. To teach the
// readers another word, add it here.
var words = []struct {
	column table.Column
	names  []string
}{
	{table.Time, []string{"Time", "Timestamp", "Time stamp", "Date/Time", "Date and time", "Date time", "Local time", "Clock time", "Time of day"}},
	{table.Time, []string{"Zeit", "Uhrzeit", "Zeitstempel", "Datum/Zeit", "Datum/Uhrzeit", "Datum und Uhrzeit"}},
	{table.Time, []string{"Horodatage", "Heure", "Temps", "Date/Heure", "Date et heure"}},
	{table.Time, []string{"Hora", "Fecha/Hora", "Fecha y hora", "Ora", "Orario", "Data/Ora", "Data e ora", "Tid", "Tidspunkt", "Tidsstempel", "Tidpunkt", "Tidsstämpel", "Klokkeslett", "Klockslag", "Dato/Tid", "Datum/Tid", "Aika", "Kellonaika"}},
	{table.Date, []string{"Date", "Day", "Datum", "Fecha", "Data", "Dato", "Päivämäärä", "Päiväys"}},
	{unixTime, []string{"Unix time", "Unix timestamp", "Unix", "Epoch", "Epoch time", "POSIX time", "Unixzeit", "Temps Unix", "Tiempo Unix", "Tempo Unix", "Unixtid"}},
	{elapsedTime, []string{"Elapsed", "Elapsed time", "Time elapsed", "Relative time", "Run time", "Laufzeit", "Vergangene Zeit", "Temps écoulé", "Tiempo transcurrido", "Tempo trascorso", "Forløpt tid", "Förfluten tid", "Forløbet tid", "Kulunut aika"}},

	{table.Field, []string{"Field", "E-field", "E field", "Field strength", "E-field strength", "Electric field", "Electric field strength", "Total field", "Total E-field", "Field total", "E-field total", "E total", "E tot", "Total", "Resultant", "Resultant field", "Field resultant", "Measured field", "Actual field", "Field level", "Field reading", "Isotropic field", "Power density", "E", "Erms", "E rms", "RMS", "E peak", "Isotropic", "Vector sum"}},
	{table.Field, []string{"Feldstärke", "Feld", "E-Feld", "E-Feldstärke", "Elektrisches Feld", "Elektrische Feldstärke", "Gesamtfeld", "Gesamtfeldstärke", "Feld gesamt", "Feldstärke gesamt", "Resultierende Feldstärke", "Leistungsdichte"}},
	{table.Field, []string{"Champ", "Champ électrique", "Champ total", "Champ E", "Intensité de champ", "Intensité du champ", "Champ résultant", "Champ mesuré", "Densité de puissance"}},
	{table.Field, []string{"Campo", "Campo eléctrico", "Campo E", "Campo total", "Intensidad de campo", "Campo resultante", "Campo medido", "Campo elettrico", "Campo totale", "Intensità di campo", "Intensità del campo", "Campo risultante", "Campo misurato", "Densidad de potencia", "Densità di potenza"}},
	{table.Field, []string{"Felt", "E-felt", "Feltstyrke", "Elektrisk felt", "Elektrisk feltstyrke", "Totalfelt", "Totalt felt", "Fält", "E-fält", "Fältstyrka", "Elektrisk fältstyrka", "Elektriskt fält", "Totalfält", "Kenttä", "Sähkökenttä", "Kentänvoimakkuus", "Sähkökentän voimakkuus", "Kokonaiskenttä"}},
	{table.AxisX, []string{"X", "Ex", "X-axis", "Axis X", "E-field X", "Field X", "X field", "X component", "X-Achse", "Achse X", "Feld X", "Feldstärke X", "Axe X", "Champ X", "Eje X", "Campo X", "Asse X", "X-akse", "X-axel", "X-akseli"}},
	{table.AxisY, []string{"Y", "Ey", "Y-axis", "Axis Y", "E-field Y", "Field Y", "Y field", "Y component", "Y-Achse", "Achse Y", "Feld Y", "Feldstärke Y", "Axe Y", "Champ Y", "Eje Y", "Campo Y", "Asse Y", "Y-akse", "Y-axel", "Y-akseli"}},
	{table.AxisZ, []string{"Z", "Ez", "Z-axis", "Axis Z", "E-field Z", "Field Z", "Z field", "Z component", "Z-Achse", "Achse Z", "Feld Z", "Feldstärke Z", "Axe Z", "Champ Z", "Eje Z", "Campo Z", "Asse Z", "Z-akse", "Z-axel", "Z-akseli"}},
	{table.Frequency, []string{"Frequency", "Freq", "Test frequency", "Carrier frequency", "Frequenz", "Prüffrequenz", "Fréquence", "Frecuencia", "Frec", "Frequenza", "Frekvens", "Frekv", "Taajuus"}},
	{table.Status, []string{"Status", "State", "Overload", "Overrange", "Over range", "OVL", "Flag", "Status flag", "Error", "Zustand", "Überlast", "Übersteuerung", "État", "Statut", "Surcharge", "Estado", "Sobrecarga", "Stato", "Sovraccarico", "Tilstand", "Overlast", "Överlast", "Överbelastning", "Tila", "Ylikuormitus"}},
	{validity, []string{"Valid", "Validity", "Gültig", "Gültigkeit", "Valide", "Validité", "Válido", "Validez", "Valido", "Validità", "Gyldig", "Gyldighet", "Giltig", "Giltighet", "Kelvollinen"}},

	{table.Forward, []string{"Forward", "Forward power", "Fwd", "Fwd power", "P fwd", "P forward", "Power forward", "Incident", "Incident power", "P inc", "Pf"}},
	{table.Forward, []string{"Vorlaufleistung", "Vorlauf", "P vor", "P hin", "Hinlaufende Leistung", "Vorwärtsleistung", "Puissance incidente", "Puissance directe", "P incidente", "Potencia incidente", "Potencia directa", "Potenza incidente", "Potenza diretta", "Foreffekt", "Fremadgående effekt", "Foroverrettet effekt", "Fremovereffekt", "Framåtgående effekt", "Framåteffekt", "Etenevä teho", "Lähtevä teho"}},
	{table.Reflected, []string{"Reflected", "Reflected power", "Refl", "Refl power", "Rev", "Rev power", "P refl", "P rev", "P reflected", "Power reflected", "Reverse", "Reverse power", "Return power", "Pr"}},
	{table.Reflected, []string{"Rücklaufleistung", "Rücklauf", "P rück", "Reflektierte Leistung", "Puissance réfléchie", "P réfléchie", "Potencia reflejada", "Potenza riflessa", "Reflektert effekt", "Reflekteret effekt", "Reflekterad effekt", "Heijastunut teho"}},
	{net, []string{"Net", "Net power", "P net", "Nettoleistung", "Wirkleistung", "Puissance nette", "Potencia neta", "Potenza netta", "Nettoeffekt", "Nettoteho"}},

	{table.Start, []string{"Start", "Start time", "Begin", "Begin time", "Started", "From time", "Dwell start", "Beginn", "Startzeit", "Anfang", "Début", "Heure de début", "Inicio", "Comienzo", "Hora de inicio", "Inizio", "Ora inizio", "Starttid", "Starttidspunkt", "Alku", "Alkuaika", "Aloitus"}},
	{table.End, []string{"End", "End time", "Stop", "Stop time", "Finish", "Finished", "To time", "Dwell end", "Ende", "Endzeit", "Stoppzeit", "Fin", "Heure de fin", "Hora de fin", "Final", "Fine", "Ora fine", "Slutt", "Sluttid", "Slut", "Stopptid", "Stoptid", "Loppu", "Loppuaika", "Lopetus"}},
	{startDate, []string{"Start date", "Begin date", "Startdatum", "Date de début", "Fecha de inicio", "Data inizio", "Data di inizio", "Startdato", "Alkupäivä"}},
	{endDate, []string{"End date", "Stop date", "Enddatum", "Date de fin", "Fecha de fin", "Data fine", "Data di fine", "Sluttdato", "Slutdato", "Slutdatum", "Loppupäivä"}},
	{table.Duration, []string{"Duration", "Dwell", "Dwell time", "Hold time", "Dauer", "Haltezeit", "Verweildauer", "Verweilzeit", "Durée", "Durée de maintien", "Temps de maintien", "Temps de palier", "Duración", "Tiempo de permanencia", "Durata", "Tempo di permanenza", "Varighet", "Varighed", "Varaktighet", "Hålltid", "Holdetid", "Kesto", "Pitoaika"}},
	{table.Run, []string{"Run", "Run ID", "Run no", "Run number", "Sweep", "Lauf", "Lauf-Nr", "Durchlauf", "Essai", "Ensayo", "Prova", "Kjøring", "Kørsel", "Körning", "Ajo"}},
	{table.Polarization, []string{"Pol", "Polarization", "Polarisation", "Antenna polarization", "Antenna polarisation", "Polarización", "Polarizzazione", "Polarisering", "Polarisaatio"}},
	{table.Position, []string{"Position", "Pos", "Antenna position", "Antennenposition", "Position d'antenne", "Position de l'antenne", "Posición", "Posición de antena", "Posizione", "Posizione antenna", "Posisjon", "Antenneposisjon", "Antenneposition", "Antennposition", "Paikka", "Antennin paikka"}},
	{table.Modulation, []string{"Modulation", "Mod", "Modulación", "Modulazione", "Modulasjon", "Modulering", "Modulaatio"}},
	{table.Purpose, []string{"Purpose"}},
	{levelSet, []string{"Level set", "Set level", "Target level", "Target", "Target field", "Set point", "Setpoint", "Nominal level", "Test level", "Level", "Sollwert", "Sollfeldstärke", "Prüfpegel", "Consigne", "Niveau", "Niveau de consigne", "Nivel", "Consigna", "Livello", "Livello impostato", "Settpunkt", "Målnivå", "Börvärde", "Ønsket nivå", "Asetusarvo"}},
	{observation, []string{"Observation", "Observations", "Remark", "Remarks", "Comment", "Comments", "Note", "Notes", "Reaction", "Bemerkung", "Bemerkungen", "Beobachtung", "Kommentar", "Anmerkung", "Remarque", "Remarques", "Commentaire", "Observación", "Observaciones", "Osservazione", "Osservazioni", "Nota", "Note", "Merknad", "Merknader", "Bemærkning", "Anmärkning", "Huomautus", "Havainto"}},

	{table.Factor, []string{"Correction", "Correction factor", "Factor", "Probe factor", "Cal factor", "Calibration factor", "Coupling", "Coupling factor", "Koppeldämpfung", "Koppelfaktor", "Korrekturfaktor", "Korrektur", "Faktor", "Sondenfaktor", "Kalibrierfaktor", "Facteur de correction", "Correction de sonde", "Facteur", "Facteur de sonde", "Factor de corrección", "Corrección", "Fattore di correzione", "Fattore", "Correzione", "Korreksjonsfaktor", "Korreksjon", "Korrektionsfaktor", "Korrektion", "Korjauskerroin", "Kerroin"}},
	{uncertainty, []string{"Uncertainty", "Expanded uncertainty", "Unc", "U", "Unsicherheit", "Messunsicherheit", "Incertitude", "Incertidumbre", "Incertezza", "Usikkerhet", "Usikkerhed", "Osäkerhet", "Mätosäkerhet", "Epävarmuus"}},
	{battery, []string{"Battery", "Battery voltage", "Batt", "Batterie", "Batteriespannung", "Tension batterie", "Batería", "Batteria", "Batteri", "Batterispenning", "Akku"}},
	{temperature, []string{"Temperature", "Temp", "Temperatur", "Probe temperature", "Température", "Temperatura", "Lämpötila"}},
}

// registerWords are the names of the columns of an equipment register. They are
// apart from the others because they mean something else there.
var registerWords = []struct {
	column table.Column
	names  []string
}{
	{asset, []string{"Asset", "Asset no", "Asset number", "Asset ID", "Asset mark", "ID", "Inventory no", "Inventory number", "Equipment ID", "Inventarnummer", "Inventar-Nr", "Gerätenummer", "N° d'inventaire", "Numéro d'inventaire", "N° inventaire", "Repère", "Número de inventario", "Nº de inventario", "Numero di inventario", "N. inventario", "Inventarienummer", "Inventarnr", "Laitetunnus"}},
	{description, []string{"Description", "Equipment", "Item", "Type of equipment", "Bezeichnung", "Beschreibung", "Gerät", "Désignation", "Descripción", "Equipo", "Descrizione", "Beskrivelse", "Beskrivning", "Benämning", "Kuvaus"}},
	{maker, []string{"Maker", "Manufacturer", "Make", "Hersteller", "Fabricant", "Constructeur", "Fabricante", "Fabbricante", "Costruttore", "Produsent", "Producent", "Fabrikant", "Tillverkare", "Valmistaja"}},
	{model, []string{"Model", "Type", "Model no", "Modell", "Typ", "Modèle", "Modelo", "Tipo", "Modello", "Malli"}},
	{serial, []string{"Serial", "Serial no", "Serial number", "S/N", "SN", "Seriennummer", "Serien-Nr", "N° de série", "Numéro de série", "Número de serie", "Nº de serie", "Numero di serie", "Matricola", "Serienummer", "Serienr", "Sarjanumero"}},
	{calibrated, []string{"Calibrated", "Calibration date", "Calibrated on", "Cal date", "Last calibration", "Last calibrated", "Kalibriert", "Kalibriert am", "Kalibrierdatum", "Letzte Kalibrierung", "Étalonné le", "Date d'étalonnage", "Étalonnage", "Dernier étalonnage", "Calibrado", "Fecha de calibración", "Última calibración", "Tarato il", "Data taratura", "Data di taratura", "Ultima taratura", "Kalibrert", "Kalibreret", "Kalibrerad", "Kalibreringsdato", "Kalibreringsdatum", "Kalibroitu"}},
	{due, []string{"Due", "Due date", "Calibration due", "Cal due", "Next calibration", "Valid until", "Expires", "Fällig", "Fällig am", "Nächste Kalibrierung", "Gültig bis", "Échéance", "Prochain étalonnage", "Valable jusqu'au", "Vencimiento", "Próxima calibración", "Scadenza", "Prossima taratura", "Forfall", "Forfallsdato", "Neste kalibrering", "Gyldig til", "Næste kalibrering", "Nästa kalibrering", "Giltig till", "Seuraava kalibrointi", "Voimassa"}},
	{certificate, []string{"Certificate", "Certificate no", "Certificate number", "Calibration certificate", "Zertifikat", "Zertifikat-Nr", "Kalibrierschein", "Kalibrierschein-Nr", "Certificat", "N° de certificat", "Certificado", "Certificato", "Sertifikat", "Certifikat", "Kalibreringsbevis", "Todistus", "Kalibrointitodistus"}},
	{traceability, []string{"Traceability", "Traceable to", "Rückführbarkeit", "Rückführung", "Traçabilité", "Raccordement", "Trazabilidad", "Riferibilità", "Sporbarhet", "Sporbarhed", "Spårbarhet", "Jäljitettävyys"}},
	{rangeFrom, []string{"From", "Lower frequency", "Frequency from", "f min", "Min frequency", "Start frequency", "Von", "Frequenz von", "De", "Fréquence min", "Desde", "Da", "Fra", "Från", "Alkaen"}},
	{rangeTo, []string{"To", "Upper frequency", "Frequency to", "f max", "Max frequency", "Stop frequency", "Bis", "Frequenz bis", "À", "Jusqu'à", "Fréquence max", "Hasta", "A", "Til", "Till", "Asti"}},
}
