/** A page of field notes, as its figures are typed; invented, like all places here. */
export interface FieldNotes {
  readonly answers: Readonly<Record<string, string>>;
  /** whether works come of it, or the levels do not fit */
  readonly ends: "works" | "impossible";
  /** facts told, where not all twelve are */
  readonly facts?: number;
}

/** US and metric; steep, flat, wet, tight. */
export const tenYards: readonly FieldNotes[] = [
  { ends: "works", answers: { "name": "Alder Close", "region": "US", "rain": "1.5", "roof": "42 x 28 - 10 x 8", "reading 1 benchmark": "4.21", "reading 1 house": "3' 6\"", "reading 1 box": "4' 3 1/2\"", "reading 1 pit": "5.1", "reading 1 lid": "7", "reading 1 benchmark again": "4.22", "boxToPit": "12", "pitToLid": "45", "houseToPit": "15", "soil": "loam", "groundwater": "none 8", "room": "30 x 12", "wanted": "dry lawn in a normal storm" } },
  { ends: "works", answers: { "name": "Steep Bank", "region": "US", "rain": "1.8", "roof": "1,950 sf", "reading 1 benchmark": "1.02", "reading 1 house": "1.4", "reading 1 box": "2.1", "reading 1 pit": "5.5", "reading 1 lid": "12", "boxToPit": "22", "pitToLid": "50", "houseToPit": "25", "soil": "sandy loam", "groundwater": "none 10", "wanted": "dry lawn in a bad storm" } },
  { ends: "works", answers: { "name": "Flat Field", "region": "US", "rain": "1.4", "roof": "36 x 24", "reading 1 benchmark": "5.00", "reading 1 house": "4.0", "reading 1 box": "5.1", "reading 1 pit": "5.2", "reading 1 lid": "5.5", "boxToPit": "10", "pitToLid": "40", "houseToPit": "12", "soil": "silt loam", "groundwater": "seen 7", "wanted": "out at the lid only" } },
  { ends: "works", answers: { "name": "Wet Corner", "region": "US", "rain": "not known", "roof": "1200 sq ft", "reading 1 benchmark": "4.00", "reading 1 house": "3.1", "reading 1 box": "4.4", "reading 1 pit": "5.0", "reading 1 lid": "6.6", "boxToPit": "8", "pitToLid": "30", "houseToPit": "11", "soil": "not yet", "groundwater": "seen 3 1/2", "wanted": "dry lawn in a normal storm" } },
  { ends: "works", answers: { "name": "Tight Court", "region": "US", "rain": "1.3", "roof": "24 x 18 + 12 x 10", "reading 1 benchmark": "3.33", "reading 1 house": "2.9", "reading 1 box": "3.6", "reading 1 pit": "4.1", "reading 1 lid": "5.2", "boxToPit": "6", "pitToLid": "18", "houseToPit": "8", "soil": "clay loam", "groundwater": "not known", "room": "10 x 6", "wanted": "dry lawn in a normal storm" } },
  { ends: "works", answers: { "name": "Larch Row", "region": "GB", "rain": "16", "roof": "9,5 x 7 + 4 x 3", "reading 1 benchmark": "1,285", "reading 1 house": "1,05", "reading 1 box": "1,31", "reading 1 pit": "1,52", "reading 1 lid": "2,1", "reading 1 benchmark again": "1,286", "boxToPit": "3,5", "pitToLid": "13", "houseToPit": "5,5", "soil": "sandy loam", "groundwater": "none 2,5", "wanted": "dry lawn in a normal storm" } },
  { ends: "works", answers: { "name": "Obere Wiese", "region": "DE", "rain": "22", "roof": "140 qm", "reading 1 benchmark": "1,4", "reading 1 house": "1,1", "reading 1 box": "1,45", "reading 1 pit": "1,9", "reading 1 lid": "3,2", "boxToPit": "6", "pitToLid": "20", "houseToPit": "7", "soil": "loamy sand", "groundwater": "not known", "wanted": "dry lawn in a bad storm" } },
  { ends: "impossible", answers: { "name": "Uphill Lid", "region": "GB", "rain": "15", "roof": "80", "reading 1 benchmark": "1,5", "reading 1 house": "1,3", "reading 1 box": "1,7", "reading 1 pit": "1,6", "reading 1 lid": "1,2", "reading 1 low point": "2,4", "boxToPit": "4", "pitToLid": "10", "lidToLowPoint": "25", "soil": "loam", "groundwater": "none 3", "wanted": "dry lawn in a normal storm" } },
  { ends: "works", answers: { "name": "Two Set Ups", "region": "CA", "rain": "20", "roof": "12 x 9", "reading 1 benchmark": "0,85", "reading 1 house": "0,6", "reading 1 box": "1,1", "reading 1 pit": "1,9", "reading 2 pit": "2,6", "reading 2 lid": "3,45", "reading 2 benchmark again": "1,552", "boxToPit": "5", "pitToLid": "16", "houseToPit": "6", "soil": "sandy clay loam", "groundwater": "none 3", "wanted": "out at the lid only" } },
  { ends: "works", facts: 9, answers: { "name": "Bare Notes", "region": "NZ", "roof": "110", "reading 1 box": "1,2", "reading 1 pit": "1,35", "reading 1 lid": "1,95", "rain": "not known", "soil": "not yet", "groundwater": "not known", "wanted": "dry lawn in a normal storm" } },
];
