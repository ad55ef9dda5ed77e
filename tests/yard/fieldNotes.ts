/** A page of field notes and how its reader types it. Yards, people and figures are invented. */
export interface FieldNotes {
  readonly name: string;
  /** what is hard about it */
  readonly about: string;
  /** the page, as a contractor writes one */
  readonly page: string;
  /** what is typed or tapped, in its order; what the page or the terminal objects to is typed again */
  readonly typed: readonly (readonly [key: string, text: string])[];
  /** whether works come of it, or something on the lot has to be moved first */
  readonly ends: "works" | "impossible";
  /** how many of the twelve facts the notes hold */
  readonly facts: number;
}

/** Ten made-up yards: US and metric; steep, flat, wet, tight, no room, clay, an L-shaped roof, two set-ups, a neighbour downhill. */
export const fieldNotes: readonly FieldNotes[] = [
  {
    name: "Cobbler Steps", about: "US, steep", ends: "works", facts: 12,
    page: `Cobbler Steps, Tue. House over the lane, yard drops like a stair. County card says 1,150 sf roof on this side.
Level on tripod by the porch. Nail in porch post 1.02, door sill 1.4. Box by the downspout 2.1. Flat bit where the pit goes 5 1/2 ft.
Lid down at the hedge 12'. Tripod not moved. Back to nail: 1.02.
Box to pit 22, pit to hedge 50, wall to pit 25. Dug 10 for the fence post, bone dry. Sandy loam, gritty, won't roll.
Owner: no puddle on the grass when it rains like it does most summers. 1.8 in an hour says the town.`,
    typed: [
      ["name", "Cobbler Steps"], ["region", "US"], ["rain", "1.8"], ["roof", "1,150 sf"], ["reading 1 benchmark", "1.02"], ["reading 1 house", "1.4"],
      ["reading 1 box", "2.1"], ["reading 1 pit", "5 1/2"], ["reading 1 lid", "12'"], ["reading 1 benchmark again", "1.02"], ["boxToPit", "22"],
      ["pitToLid", "50"], ["houseToPit", "25"], ["soil", "sandy loam"], ["groundwater", "none 10"], ["wanted", "dry lawn in a normal storm"],
    ],
  },
  {
    name: "Plank Meadow", about: "US, flat", ends: "works", facts: 11,
    page: `Plank Meadow. Flat as a table. Garage roof 36 x 24. String off the step, water level. Step 4.0, string peg 5.0.
Grass at box 5 1/10, over the pit 5.2, by the fence (lid) 5' 6". Peg again 5.0.
10 ft box to pit, 40 to the fence, 12 off the wall. Silt loam on the map. Well driller next door hit water at 7.
Rain? ask. He only wants it to come out at the fence and nowhere else.`,
    typed: [
      ["name", "Plank Meadow"], ["region", "US"], ["rain", "not known"], ["roof", "36 x 24"], ["reading 1 benchmark", "5.0"], ["reading 1 house", "4.0"],
      ["reading 1 box", "5 1/10"], ["reading 1 pit", "5.2"], ["reading 1 lid", "5' 6\""], ["reading 1 benchmark again", "5.0"], ["boxToPit", "10"],
      ["pitToLid", "40"], ["houseToPit", "12"], ["soil", "silt loam"], ["groundwater", "seen 7"], ["wanted", "out at the lid only"],
    ],
  },
  {
    name: "Marsh End", about: "US, groundwater at 2 ft", ends: "impossible", facts: 12,
    page: `Marsh End. Boots wet already. Porch + half the house, 900 sq ft. Staff: BM = hydrant ring 4.00, floor 3.1, box 4.4, pit 5.0, ditch (lid) 6.6.
Box to pit 8, ditch another 30. 11 from the wall. Hole 2 1/2 ft deep fills to 2 ft down over lunch.
Soil: black loam on top. Rain 1.4. They'd be happy if only the ditch gets it.`,
    typed: [
      ["name", "Marsh End"], ["region", "US"], ["rain", "1.4"], ["roof", "900 sq ft"], ["reading 1 benchmark", "4.00"], ["reading 1 house", "3.1"],
      ["reading 1 box", "4.4"], ["reading 1 pit", "5.0"], ["reading 1 lid", "6.6"], ["boxToPit", "8"], ["pitToLid", "30"], ["houseToPit", "11"],
      ["soil", "loam"], ["groundwater", "seen 2"], ["wanted", "out at the lid only"],
    ],
  },
  {
    name: "Potter's Field", about: "US, clay, two fills of a hole", ends: "works", facts: 12,
    page: `Potter's Field, clay. Cut a hole 8 in across, tape mark to bottom 24 in. Filled it: 8:15 tape 12, 8:45 12 1/2, 9:15 13.
Topped up: 9:20 12, 9:50 12 7/16, 10:20 12 7/8.
Roof one side 30 x 18. BM manhole 3.2, sill 2.9, box 3.5, pit 4.1, lid at the low corner 6.0, BM 3.2 again. 9 box to pit, 35 to lid, 16 off the house.
No water down to 6. Rain 1.3 in. Lawn should stay dry mostly.`,
    typed: [
      ["name", "Potter's Field"], ["region", "US"], ["rain", "1.3 in"], ["roof", "30 x 18"], ["reading 1 benchmark", "3.2"], ["reading 1 house", "2.9"],
      ["reading 1 box", "3.5"], ["reading 1 pit", "4.1"], ["reading 1 lid", "6.0"], ["reading 1 benchmark again", "3.2"], ["boxToPit", "9"],
      ["pitToLid", "35"], ["houseToPit", "16"], ["soil", "test at the hole"], ["hole diameter", "8"], ["hole bottom", "24"],
      ["fill 1", "8:15 12; 8:45 12 1/2; 9:15 13"], ["fill 2", "9:20 12; 9:50 12 7/16; 10:20 12 7/8"], ["groundwater", "none 6"],
      ["wanted", "dry lawn in a normal storm"],
    ],
  },
  {
    name: "Downhill Neighbour", about: "US, a neighbour downhill, a unit to ask back", ends: "works", facts: 12,
    page: `Lot above next door. Roof 42 x 28 less the 10 x 8 porch. Curb nail 4.21, floor 3' 6", box 4' 3 1/2", pit 5.1, lid 7, fence line 8.4 (their grass).
Nail 4.22 on the way back. Box-pit 12. Pit-lid 14 m (only had the metric tape). Wall-pit 9 ft. 30 x 12 free.
Loam. 8 ft auger hole dry. 1.5 in/hr storm is the usual. Dry lawn in a usual storm.`,
    typed: [
      ["name", "Downhill Neighbour"], ["region", "US"], ["rain", "1.5 in/hr"], ["roof", "42 x 28 - 10 x 8"], ["reading 1 benchmark", "4.21"],
      ["reading 1 house", "3' 6\""], ["reading 1 box", "4' 3 1/2\""], ["reading 1 pit", "5.1"], ["reading 1 lid", "7"],
      ["reading 1 neighbour", "8.4"], ["reading 1 benchmark again", "4.22"], ["boxToPit", "12"], ["pitToLid", "14 m"], ["pitToLid", "=14 m"],
      ["houseToPit", "9 ft"], ["soil", "loam"], ["groundwater", "none 8"], ["room", "30 x 12"], ["wanted", "dry lawn in a normal storm"],
    ],
  },
  {
    name: "Larch Terrace", about: "GB, L-shaped roof, decimal commas, minutes for a hole", ends: "works", facts: 12,
    page: `Larch Terrace. L-shaped: 9,5 x 7 main, 4 x 3 kitchen. Laser: step 1,285, floor 1,05, box 1,31, pit 1,52, lid 2,1; step again 1,286.
3,5 m to the pit, 13 to the lid. Wall 5,5. Soil sandy loam by feel. Pit dug for the pond next door 2,5 deep, dry. 16 mm the usual hour.
Wants the grass dry in an ordinary downpour.`,
    typed: [
      ["name", "Larch Terrace"], ["region", "GB"], ["rain", "16"], ["roof", "9,5 x 7 + 4 x 3"], ["reading 1 benchmark", "1,285"], ["reading 1 house", "1,05"],
      ["reading 1 box", "1,31"], ["reading 1 pit", "1,52"], ["reading 1 lid", "2,1"], ["reading 1 benchmark again", "1,286"], ["boxToPit", "3,5"],
      ["pitToLid", "13"], ["houseToPit", "5,5"], ["soil", "sandy loam"], ["groundwater", "none 2,5"], ["wanted", "dry lawn in a normal storm"],
    ],
  },
  {
    name: "Hof am Brunnen", about: "DE, two set-ups, a book that does not close at first", ends: "works", facts: 11,
    page: `Hof am Brunnen. Dach 140 qm. Erste Aufstellung: Schacht 1,400, Haus 1,10, Kasten 1,45, Grube 1,90.
Umgestellt hinter die Hecke: Grube 0,62, Deckel 1,92, zurück am Schacht 1,12 (abgelesen 0,12, die 1 vergessen).
6 m, 20 m, Wand 7. Lehmiger Sand. Wasser: keiner weiß es. 22 mm. Auch bei schlimmem Regen trocken.`,
    typed: [
      ["name", "Hof am Brunnen"], ["region", "DE"], ["rain", "22"], ["roof", "140 qm"], ["reading 1 benchmark", "1,4"], ["reading 1 house", "1,10"],
      ["reading 1 box", "1,45"], ["reading 1 pit", "1,90"], ["reading 2 pit", "0,62"], ["reading 2 lid", "1,92"],
      ["reading 2 benchmark again", "1,12"], ["reading 2 benchmark again", "0,12"], ["boxToPit", "6"], ["pitToLid", "20"], ["houseToPit", "7"],
      ["soil", "loamy sand"], ["groundwater", "not known"], ["wanted", "dry lawn in a bad storm"],
    ],
  },
  {
    name: "Terrace Nine", about: "AU, no room", ends: "impossible", facts: 12,
    page: `Terrace Nine. Row house, 45 m2 to the back. Step 1.10, floor 1.0, box 1.22, pit 1.25, lid at lane 1.7. Box 2 m from pit, lane 6 m further, wall 1.5.
Between shed and path there is 1.0 x 0.8 m, that is all. Sand. 3 m down no water. 20 mm. Keep the yard dry.`,
    typed: [
      ["name", "Terrace Nine"], ["region", "AU"], ["rain", "20"], ["roof", "45 m2"], ["reading 1 benchmark", "1.10"], ["reading 1 house", "1.0"],
      ["reading 1 box", "1.22"], ["reading 1 pit", "1.25"], ["reading 1 lid", "1.7"], ["boxToPit", "2"], ["pitToLid", "6"], ["houseToPit", "1.5"],
      ["soil", "sand"], ["groundwater", "none 3"], ["room", "1.0 x 0.8"], ["wanted", "dry lawn in a normal storm"],
    ],
  },
  {
    name: "Kanaalzicht", about: "NL, tight and wet, by tape from two corners", ends: "works", facts: 12,
    page: `Kanaalzicht. Achterdak 8 x 5,2. Hoek A - hoek B 8,2. Put (box): A 1,5 B 7,1. Kuil: A 5,1 B 6,3. Deksel: A 11,3 B 11,0.
Waterpas: dorpel 1,02 (peil), vloer 0,95, box 1,2, kuil 1,3, deksel 1,75, weer peil 1,02. Ruimte 4 x 1,5.
Zand, silt erin: "loamy sand". Grondwater 1,4 onder maaiveld. 20 mm. Alleen bij het deksel eruit.`,
    typed: [
      ["name", "Kanaalzicht"], ["region", "NL"], ["rain", "20"], ["roof", "8 x 5,2"], ["reading 1 benchmark", "1,02"], ["reading 1 house", "0,95"],
      ["reading 1 box", "1,2"], ["reading 1 pit", "1,3"], ["reading 1 lid", "1,75"], ["reading 1 benchmark again", "1,02"], ["tape corners", "8,2"],
      ["tape A box", "1,5"], ["tape B box", "7,1"], ["tape A pit", "5,1"], ["tape B pit", "6,3"], ["tape A lid", "11,3"], ["tape B lid", "11,0"],
      ["soil", "loamy sand"], ["groundwater", "seen 1,4"], ["room", "4 x 1,5"], ["wanted", "out at the lid only"],
    ],
  },
  {
    name: "Up the Bank", about: "GB, the lid uphill of the pit", ends: "impossible", facts: 12,
    page: `Up the Bank. 80 m2. Peg 1,5, floor 1,3, box 1,7, pit 1,6. Lid wants to be by the gate, 1,2 on the staff, that's up. Low point behind it 2,4, 25 m on.
Box-pit 4, pit-gate 10. Loam, none to 3 m. Rain 15. Dry in a normal one.`,
    typed: [
      ["name", "Up the Bank"], ["region", "GB"], ["rain", "15"], ["roof", "80"], ["reading 1 benchmark", "1,5"], ["reading 1 house", "1,3"],
      ["reading 1 box", "1,7"], ["reading 1 pit", "1,6"], ["reading 1 lid", "1,2"], ["reading 1 low point", "2,4"], ["boxToPit", "4"],
      ["pitToLid", "10"], ["lidToLowPoint", "25"], ["soil", "loam"], ["groundwater", "none 3"], ["wanted", "dry lawn in a normal storm"],
    ],
  },
];

/** What stands in the fields at the end: the last text of each. */
export function finalAnswers({ typed }: FieldNotes): Readonly<Record<string, string>> {
  return Object.fromEntries(typed);
}
