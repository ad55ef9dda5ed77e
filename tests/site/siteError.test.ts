import { describe, expect, test } from "vitest";
import { readSite, SiteError } from "../../lib/site/readSite.ts";
import { InputError } from "../../lib/text/problem.ts";
import { changed, fixture, type SiteJson } from "./siteFiles.ts";

/** The lines of the error that a source gives, without its first. */
function problemsOf(source: unknown): string[] {
  try {
    readSite(source);
  } catch (error) {
    expect(error).toBeInstanceOf(SiteError);
    const { problems, message } = error as SiteError;
    const lines = problems.map(({ where, expected, got }) => `${where}: expected ${expected}, got ${got}`);
    const count = problems.length === 1 ? "one problem" : `${problems.length} problems`;
    expect(message).toBe([`The site file cannot be used: ${count}.`, ...lines].join("\n  "));
    return lines;
  }
  return [];
}

/** The file with several values changed, path by path. */
function withAll(file: SiteJson, values: Readonly<Record<string, unknown>>): SiteJson {
  return Object.entries(values).reduce((changing, [path, value]) => changed(changing, path, value), file);
}

const length = 'a length such as "2.5 ft", "18 in" or "0.75 m"';

describe("one wrong thing in a site file gives one problem:", () => {
  test.each<[string, string, Record<string, unknown>, string]>([
    // keys
    ["an unknown key", "orchard-depot", { "chamberBank.widht": "3 m" },
      'chamberBank.widht: expected a known key (did you mean "width"?), got an unknown key'],
    ["an unknown key like no other", "orchard-depot", { "overflowTrench.pipe.colour": "red" },
      "overflowTrench.pipe.colour: expected one of the keys insideDiameter, outsideDiameter, bedding, manningN, openArea, got an unknown key"],
    ["a key that has its place elsewhere", "orchard-depot", { openFloorShare: 0.5 },
      "openFloorShare: expected a key that is known here (openFloorShare belongs in chamberBank or overflowTrench), got an unknown key"],
    ["a key of the top", "orchard-depot", { "chamberBank.watchLevels": [] },
      "chamberBank.watchLevels: expected a key that is known here (watchLevels belongs at the top of the file), got an unknown key"],
    ["a key of the top and of a box", "two-boxes", { "soil.rim": "1 m" },
      "soil.rim: expected a key that is known here (rim belongs in settlingBox), got an unknown key"],
    ["a key that has its place in many", "orchard-depot", { "soil.length": "3 m" },
      "soil.length: expected one of the keys layers, floor, sides, factorOfSafety, conductivityFrom, temperature, got an unknown key"],
    ["a key that is no word", "orchard-depot", { "soil.two words": 1 },
      'soil["two words"]: expected one of the keys layers, floor, sides, factorOfSafety, conductivityFrom, temperature, got an unknown key'],
    ["a key that no study knows", "every-key", { "studies.sweep": { returnPeriodz: ["2 year"], durations: ["1 h"] } },
      'studies.sweep.returnPeriodz: expected a known key (did you mean "returnPeriods"?), got an unknown key'],
    ["a key in a study's list", "every-key", { "studies.size": { criteria: [{ storm: "a", noSpil: true }], steps: {} } },
      'studies.size.criteria[0].noSpil: expected a known key (did you mean "noSpill"?), got an unknown key'],
    ["a missing length", "orchard-depot", { "settlingBox.outlet.diameter": undefined },
      `settlingBox.outlet.diameter: expected ${length}, got nothing`],
    ["a missing part", "orchard-depot", { chamberBank: undefined }, "chamberBank: expected an object { … }, got nothing"],
    ["a missing name", "orchard-depot", { name: undefined }, "name: expected a name of 1 to 200 characters on one line, got nothing"],
    ["no catchments", "orchard-depot", { catchments: [] }, "catchments: expected a list [ … ] of one or more, got an empty list"],
    ["no layers", "orchard-depot", { "soil.layers": undefined }, "soil.layers: expected a list [ … ] of one or more, got nothing"],
    ["no boxes", "two-boxes", { settlingBox: [] }, "settlingBox: expected a list [ … ] of one or more, got an empty list"],
    // kinds of value
    ["a list for an object", "orchard-depot", { overflowTrench: [] }, "overflowTrench: expected an object { … }, got an empty list"],
    ["null for an object", "orchard-depot", { emitter: null }, "emitter: expected an object { … }, got null"],
    ["an object for a list", "orchard-depot", { "soil.layers": {} }, "soil.layers: expected a list [ … ] of one or more, got an object"],
    ["a bare number for a length", "orchard-depot", { "chamberBank.stone.depth": 1.45 },
      `chamberBank.stone.depth: expected ${length}, got 1.45, a bare number`],
    ["a wrong dimension", "orchard-depot", { "soil.layers[1].conductivity": "22 mm" },
      'soil.layers[1].conductivity: expected a speed such as "0.5 in/hr" or "12 mm/h", got "22 mm", a length'],
    ["a misspelt unit", "orchard-depot", { "catchments[0].timeOfConcentration": "7 mim" },
      'catchments[0].timeOfConcentration: expected a time such as "10 min", "24 h" or "3 day", got "7 mim", where "mim" is no unit known here (did you mean "min"?)'],
    ["text for a number", "orchard-depot", { "settlingBox.outlet.manningN": "0.011" },
      'settlingBox.outlet.manningN: expected a number from 0.001 to 1, got "0.011"'],
    ["text for a flag", "orchard-depot", { "soil.floor": "yes" }, 'soil.floor: expected true or false, got "yes"'],
    ["half a chamber", "orchard-depot", { "chamberBank.chambers[0].count": 1.5 },
      "chamberBank.chambers[0].count: expected a whole number from 1 to 10000, got 1.5"],
    ["an empty name", "orchard-depot", { "catchments[0].name": "" },
      "catchments[0].name: expected a name of 1 to 200 characters on one line, got empty text"],
    ["a name of spaces", "orchard-depot", { name: "  " }, "name: expected a name of 1 to 200 characters on one line, got blank text"],
    ["a name that steers a terminal", "orchard-depot", { name: "a\u001b[31m" },
      'name: expected a name of 1 to 200 characters on one line, got "a\\u001b[31m"'],
    ["a name too long", "orchard-depot", { name: "x".repeat(201) },
      `name: expected a name of 1 to 200 characters on one line, got "${"x".repeat(60)}…"`],
    ["another word than lowSpot", "low-spot", { "emitter.dischargesTo": "street" },
      'emitter.dischargesTo: expected "lowSpot", or the key left out, got "street"'],
    // bounds
    ["a length of nothing", "orchard-depot", { "chamberBank.length": "0 m" },
      'chamberBank.length: expected a length from 1 mm to 10000 m, got "0 m"'],
    ["a negative diameter", "orchard-depot", { "emitter.diameter": "-4 in" },
      'emitter.diameter: expected a length from 1 mm to 10000 m, got "-4 in"'],
    ["a negative fall", "orchard-depot", { "overflowTrench.fall": "-1 in" },
      'overflowTrench.fall: expected a length from 0 to 10000 m, got "-1 in"'],
    ["a roof of no area", "orchard-depot", { "catchments[0].area": "0 sq ft" },
      'catchments[0].area: expected an area from 1 mm^2 to 10000 ha, got "0 sq ft"'],
    ["a level far out", "orchard-depot", { "groundwater.level": "-11000 m" },
      'groundwater.level: expected a length from -10000 m to 10000 m, got "-11000 m"'],
    ["a negative conductivity", "orchard-depot", { "soil.layers[0].conductivity": "-1 in/hr" },
      'soil.layers[0].conductivity: expected a speed from 0 to 10 m/s, got "-1 in/hr"'],
    ["no time of concentration", "orchard-depot", { "catchments[0].timeOfConcentration": "0 min" },
      'catchments[0].timeOfConcentration: expected a time from 1 s to 1 year, got "0 min"'],
    ["a porosity over 1", "orchard-depot", { "chamberBank.stone.porosity": 38 },
      "chamberBank.stone.porosity: expected a number from 0.001 to 1, got 38; write 0.38"],
    ["a porosity in percent", "orchard-depot", { "chamberBank.stone.porosity": "40 %" },
      'chamberBank.stone.porosity: expected a number from 0.001 to 1, got "40 %"; write 0.4'],
    ["a share a little over 1", "orchard-depot", { "catchments[0].runoffCoefficient": 1.05 },
      "catchments[0].runoffCoefficient: expected a number from 0 to 1, got 1.05"],
    ["a roughness that is no share", "orchard-depot", { "settlingBox.outlet.manningN": 11 },
      "settlingBox.outlet.manningN: expected a number from 0.001 to 1, got 11"],
    ["a porosity of nothing", "orchard-depot", { "overflowTrench.coverPorosity": 0 },
      "overflowTrench.coverPorosity: expected a number from 0.001 to 1, got 0"],
    ["a share below 0", "orchard-depot", { "chamberBank.openFloorShare": -0.1 },
      "chamberBank.openFloorShare: expected a number from 0 to 1, got -0.1"],
    ["a runoff coefficient over 1", "orchard-depot", { "catchments[0].runoffCoefficient": 1.1 },
      "catchments[0].runoffCoefficient: expected a number from 0 to 1, got 1.1"],
    ["no factor of safety", "orchard-depot", { "soil.factorOfSafety": 0 },
      "soil.factorOfSafety: expected a number from 0.01 to 1000, got 0"],
    ["no segments", "slope", { "overflowTrench.segments": 0 }, "overflowTrench.segments: expected a whole number from 1 to 50, got 0"],
    ["ice in the soil", "two-boxes", { "soil.temperature": "20 degF" },
      'soil.temperature: expected a temperature from 0 to 60 degC, got "20 degF"'],
    // one of several ways
    ["a box both round and rectangular", "orchard-depot", { "settlingBox.diameter": "0.7 m" },
      "settlingBox: expected exactly one of: diameter; length and width, got diameter and length and width"],
    ["a box of no plan", "fernhollow", { "settlingBox.diameter": undefined },
      "settlingBox: expected exactly one of: diameter; length and width, got none of them"],
    ["a box without its width", "orchard-depot", { "settlingBox.width": undefined },
      "settlingBox.width: expected a value, as length needs it, got nothing"],
    ["two losses", "orchard-depot", { "catchments[0].curveNumber": 98 },
      "catchments[0]: expected exactly one of: runoffCoefficient; curveNumber; greenAmpt, got runoffCoefficient and curveNumber"],
    ["no loss", "orchard-depot", { "catchments[0].runoffCoefficient": undefined },
      "catchments[0]: expected exactly one of: runoffCoefficient; curveNumber; greenAmpt, got none of them"],
    ["a ratio without its curve number", "every-key", { "catchments[1].curveNumber": undefined },
      "catchments[1].curveNumber: expected a value, as initialAbstractionRatio and peakRateFactor needs it, got nothing"],
    ["holes by share and by count", "every-key", { "chamberBank.chambers[0].wallOpenings.count": 8 },
      "chamberBank.chambers[0].wallOpenings: expected exactly one of: share; count and diameter, got share and count"],
    // where water goes
    ["a catchment that drains nowhere", "orchard-depot", { "catchments[0].drainsTo": "pond" },
      'catchments[0].drainsTo: expected one of "settlingBox", "chamberBank", got "pond"'],
    ["a catchment into a low spot that is not there", "fernhollow", { "catchments[1].drainsTo": "lowSpot" },
      'catchments[1].drainsTo: expected one of "settlingBox", "chamberBank", got "lowSpot"'],
    ["no drainsTo with two boxes", "two-boxes", { "catchments[2].drainsTo": undefined },
      'catchments[2].drainsTo: expected one of "north", "south", "chamberBank", got nothing'],
    ["a spill into a low spot that is not there", "orchard-depot", { "chamberBank.spillsTo": "lowSpot" },
      'chamberBank.spillsTo: expected a lowSpot in the file, or the key left out, got "lowSpot"'],
    ["a box of another body's name", "two-boxes", { "settlingBox[1].name": "trenchPipe 2", "catchments[1].drainsTo": "north", "catchments[2].drainsTo": "north" },
      'settlingBox[1].name: expected a name that is not taken by another body, got "trenchPipe 2"'],
    ["two boxes of one name", "two-boxes", { "settlingBox[1].name": "north", "catchments[1].drainsTo": "north", "catchments[2].drainsTo": "north" },
      'settlingBox[1].name: expected a name that no other box has, got "north"'],
    ["a lone box with a name", "fernhollow", { "settlingBox.name": "box" },
      "settlingBox.name: expected one of the keys diameter, length, width, floor, rim, outlet, spillsTo, got an unknown key"],
    ["an emitter without a trench", "orchard-depot", { overflowTrench: undefined },
      "emitter: expected an overflowTrench at whose end it stands, got none"],
    // box
    ["a rim at the floor", "orchard-depot", { "settlingBox.rim": "47.60 m" },
      'settlingBox.rim: expected a level above the box\'s floor ("47.60 m"), got "47.60 m"'],
    ["an outlet below the box", "orchard-depot", { "settlingBox.floor": "48.3 m" },
      'settlingBox.outlet.invert: expected a level at or above the box\'s floor (48.300 m), got "48.20 m"'],
    ["an outlet below the pit", "fernhollow", { "settlingBox.floor": "90 ft", "settlingBox.outlet.invert": "91 ft", "settlingBox.outlet.outletInvert": "92 ft" },
      'settlingBox.outlet.outletInvert: expected a level at or above the pit\'s floor (92.50 ft), got "92 ft"'],
    ["an outlet above the rim", "orchard-depot", { "settlingBox.outlet.outletInvert": "49.1 m" },
      'settlingBox.outlet.outletInvert: expected a level at or below the box\'s rim ("49.05 m"), got "49.1 m"'],
    ["a pipe without any loss", "orchard-depot", { "settlingBox.outlet.length": "0 m", "settlingBox.outlet.entranceLoss": 0, "settlingBox.outlet.exitLoss": 0 },
      "settlingBox.outlet: expected some loss: a length, or an entrance, exit or bend loss, got none"],
    ["a rim below the low spot it spills into", "upper-bench", { "lowSpot.floor": "10.31 m", "lowSpot.lip": "10.4 m" },
      'settlingBox[0].rim: expected a level at or above the low spot\'s floor ("10.31 m"), into which it spills, got "10.30 m"'],
    // pit
    ["ground at the pit's floor", "orchard-depot", { "chamberBank.ground": "46.7 m" },
      'chamberBank.ground: expected a level above the pit\'s floor ("46.70 m"), got "46.7 m"'],
    ["ground below the stone top", "orchard-depot", { "chamberBank.ground": "48 m" },
      'chamberBank.ground: expected a level at or above the stone top (48.150 m), got "48 m"'],
    ["more base than stone", "fernhollow", { "chamberBank.stone.base": "6 ft", "chamberBank.chambers": undefined },
      'chamberBank.stone.base: expected at most the depth of the stone ("5 ft"), got "6 ft"'],
    ["a chamber above the stone top", "fernhollow", { "chamberBank.chambers[0].height": "55 in" },
      'chamberBank.chambers[0].height: expected at most the stone above its base (54.00 in), so that the chamber ends in the stone, got "55 in"'],
    ["a chamber wider than the pit", "fernhollow", { "chamberBank.width": "30 in", "chamberBank.chambers[0].count": 1 },
      'chamberBank.chambers[0].outsideDiameter: expected at most the pit\'s length and width (30.00 in), got "31 in"'],
    ["a thin chamber wider than the pit", "orchard-depot", { "chamberBank.chambers": [{ insideDiameter: "2.7 m", height: "1 m" }] },
      'chamberBank.chambers[0].insideDiameter: expected at most the pit\'s length and width (2600 mm), got "2.7 m"'],
    ["chambers that fill more than the pit", "orchard-depot", { "chamberBank.chambers[0].count": 14 },
      "chamberBank.chambers: expected chambers that fit into the pit's plan, chamberBank.length times chamberBank.width (10.9 m²), got 15 that take 11.3 m²"],
    ["a chamber wider inside than outside", "orchard-depot", { "chamberBank.chambers[1].outsideDiameter": "0.5 m" },
      'chamberBank.chambers[1].outsideDiameter: expected at least the inside diameter ("0.6 m"), got "0.5 m"'],
    ["holes larger than their wall", "every-key", { "chamberBank.chambers[1].wallOpenings.count": 4000 },
      "chamberBank.chambers[1].wallOpenings: expected holes of no more than the chamber's wall (1.7 m²), got 1.96 m²"],
    ["a cover of no thickness", "orchard-depot", { "chamberBank.ground": "48.15 m", "chamberBank.cover": { conductivity: "5 mm/h" } },
      "chamberBank.cover: expected no cover, or ground above the stone top (48.150 m), got a cover of no thickness"],
    ["ground below the low spot it spills into", "low-spot", { "chamberBank.ground": "31.1 m" },
      'chamberBank.ground: expected a level at or above the low spot\'s floor ("31.20 m"), into which it spills, got "31.1 m"'],
    // trench
    ["ground at the trench's floor", "orchard-depot", { "overflowTrench.ground": "47.5 m" },
      'overflowTrench.ground: expected a level above the trench\'s floor ("47.55 m"), got "47.5 m"'],
    ["ground below the trench's stone top", "orchard-depot", { "overflowTrench.ground": "47.9 m" },
      'overflowTrench.ground: expected a level at or above the stone top at the high end (48.000 m), got "47.9 m"'],
    ["a level trench's cover of no thickness", "orchard-depot", { "overflowTrench.ground": "48 m", "overflowTrench.fall": "0 m", "overflowTrench.cover": { conductivity: "5 mm/h" } },
      "overflowTrench.cover: expected no cover, or ground above the stone top (48.000 m), got a cover of no thickness"],
    ["a trench pipe wider inside than outside", "orchard-depot", { "overflowTrench.pipe.outsideDiameter": "90 mm" },
      'overflowTrench.pipe.outsideDiameter: expected at least the inside diameter ("100 mm"), got "90 mm"'],
    ["a trench pipe wider than its trench", "orchard-depot", { "overflowTrench.width": "110 mm" },
      'overflowTrench.pipe.outsideDiameter: expected at most the trench\'s width ("110 mm"), got "114 mm"'],
    ["a trench pipe higher than its stone", "orchard-depot", { "overflowTrench.pipe.bedding": "0.34 m" },
      'overflowTrench.pipe.outsideDiameter: expected at most the stone above its bedding (110 mm), got "114 mm"'],
    ["slits of more than the wall", "slope", { "overflowTrench.pipe.openArea": "0.3 m^2/m" },
      'overflowTrench.pipe.openArea: expected no more than the pipe\'s whole wall, got "0.3 m^2/m"'],
    ["an inlet below the trench's high end", "orchard-depot", { "overflowTrench.inlet.invert": "47.5 m" },
      'overflowTrench.inlet.invert: expected a level at or above the trench\'s floor at its high end (47.550 m), got "47.5 m"'],
    ["an inlet below the slit pipe's high end", "upper-bench", { "overflowTrench.inlet.invert": "9.40 m" },
      'overflowTrench.inlet.invert: expected a level at or above the trench pipe\'s inside bottom at its high end (9.406 m), got "9.40 m"'],
    ["an inlet below the pit", "orchard-depot", { "overflowTrench.floor": "46 m", "overflowTrench.inlet.invert": "46.5 m" },
      'overflowTrench.inlet.invert: expected a level at or above the pit\'s floor (46.700 m), got "46.5 m"'],
    // emitter
    ["a crest below the trench's low end", "orchard-depot", { "emitter.crest": "47.4 m" },
      'emitter.crest: expected a level at or above the trench\'s floor at its low end (47.430 m), got "47.4 m"'],
    ["a crest below the slit pipe's low end", "upper-bench", { "emitter.crest": "9.15 m" },
      'emitter.crest: expected a level at or above the trench pipe\'s inside bottom at its low end (9.166 m), got "9.15 m"'],
    ["a lid that closes where it opens", "orchard-depot", { "emitter.closesAtHead": "15 mm" },
      'emitter.closesAtHead: expected a head below that at which the lid opens (15 mm), got "15 mm"'],
    ["a lid that closes where it opens by default", "orchard-depot", { "emitter.opensAtHead": "2 mm", "emitter.closesAtHead": undefined },
      "emitter.closesAtHead: expected a head below that at which the lid opens (2.0 mm), got its default"],
    ["a lid held shut backwards", "every-key", { "emitter.heldShut[1].to": "8 h" },
      'emitter.heldShut[1].to: expected a time after its "from" ("8 h"), got "8 h"'],
    // low spot
    ["a lip below the hollow", "low-spot", { "lowSpot.lip": "31.1 m" },
      'lowSpot.lip: expected a level at or above the low spot\'s floor ("31.20 m"), got "31.1 m"'],
    ["a grate below the hollow", "low-spot", { "lowSpot.grate.level": "31.1 m" },
      'lowSpot.grate.level: expected a level at or above the low spot\'s floor ("31.20 m"), got "31.1 m"'],
    ["a grate below the pit", "low-spot", { "chamberBank.spillsTo": undefined, "lowSpot.floor": "20 m", "lowSpot.grate.level": "21 m" },
      'lowSpot.grate.level: expected a level at or above the pit\'s floor ("29.45 m"), got "21 m"'],
    // soil and groundwater
    ["layers that do not descend", "orchard-depot", { "soil.layers[1].top": "48.8 m" },
      'soil.layers[1].top: expected a level below the top of the layer above it (48.800 m), got "48.8 m"'],
    ["a second layer without a top", "orchard-depot", { "soil.layers[1].top": undefined },
      "soil.layers[1].top: expected a level: only the first layer may do without its top, got nothing"],
    ["groundwater that goes back in time", "winter-table", { "groundwater.level[2].time": "5 day" },
      'groundwater.level[2].time: expected a time after the one before it ("5 day"), got "5 day"'],
    ["a trench's groundwater that goes back in time", "every-key", { "overflowTrench.groundwaterLevel[1].time": "0 day" },
      'overflowTrench.groundwaterLevel[1].time: expected a time after the one before it ("0 h"), got "0 day"'],
    ["an empty series", "winter-table", { "groundwater.level": [] }, "groundwater.level: expected a list [ … ] of one or more, got an empty list"],
    ["a mound on no groundwater", "mound", { "groundwater.level": undefined }, "groundwater.level: expected a level for the mound to stand on, got nothing"],
    // storms
    ["a storm without a name", "every-key", { "storms[0].name": undefined },
      "storms[0].name: expected a name of 1 to 200 characters on one line, got nothing"],
    ["a storm of neither pattern nor file", "every-key", { "storms[0].pattern": undefined },
      "storms[0]: expected exactly one of: pattern; file, got none of them"],
    ["a storm of both", "every-key", { "storms[0].file": "a.json" }, "storms[0]: expected exactly one of: pattern; file, got pattern and file"],
    ["a pattern that is no text", "every-key", { "storms[0].pattern": 2 },
      'storms[0].pattern: expected the name of a pattern such as "block" or "nrcs-ii", got 2'],
    ["a file that is no text", "every-key", { "storms[1].file": "" }, "storms[1].file: expected the name of a file of rain, got empty text"],
    ["a file of rain with an option that there is not", "every-key", { "storms[1].stmp": "end" },
      'storms[1].stmp: expected no such key (did you mean "stamp"?), got "end"'],
    ["a file of rain with a bare number for its interval", "every-key", { "storms[1].interval": 5 },
      'storms[1].interval: expected a time such as "10 min", "24 h" or "3 day", got 5, a bare number'],
    ["a curve number on ground that answers at once", "orchard-depot",
      { "catchments[0].runoffCoefficient": undefined, "catchments[0].curveNumber": 80, "catchments[0].timeOfConcentration": "0 min" },
      'catchments[0].timeOfConcentration: expected a time from 1 s to 1 year, got "0 min"'],
    ["a storm of an unknown pattern", "every-key", { "storms[0].pattern": "nrcs-2" },
      'storms[0].pattern: expected one of "block", "nrcs-i", "nrcs-ia", "nrcs-ii", "nrcs-iii", "alternating-block", "keifer-chu", '
        + '"euler-2", "nested", "uk-summer", "uk-winter", "huff-1", "huff-2", "huff-3", "huff-4", "triangular", "mass-curve", got "nrcs-2"'],
    ["a storm without its duration", "every-key", { "storms[0].duration": undefined },
      'storms[0].duration: expected a time such as "10 min", "24 h" or "3 day", got nothing'],
    ["a storm with another pattern's option", "every-key", { "storms[0].peakAt": 0.4 },
      "storms[0].peakAt: expected no such key (known here: pattern, duration, intensity, rainfall, climateFactor, depth), got 0.4"],
    ["a storm past the end of its table", "every-key", { "storms[0]": {
      name: "x", pattern: "block", duration: "2 h", rainfall: { unit: "mm", returnPeriods: ["2 year"], rows: { "1 h": [20] } },
    } }, "storms[0].rainfall: expected a duration from 60 min to 60 min, or extrapolate: true, got 120 min"],
    ["a storm that is no object", "every-key", { "storms[1]": "block" }, 'storms[1]: expected an object { … }, got "block"'],
  ])("%s", (_, name, values, problem) => {
    expect(problemsOf(withAll(fixture(name), values))).toEqual([problem]);
  });
});

describe("a site file with several wrong things", () => {
  test("says what is wrong with its storms beside the rest", () => {
    const storms = [
      { name: "design", pattern: "nrcs-ii", depth: "3" },
      { name: "other", pattern: "block", depth: "3 in", duration: "1 h", climateFactor: 20, peakAt: 0.5 },
      { name: "gauge", file: "gauge.csv", stamp: "middle" },
    ];
    expect(problemsOf(withAll(fixture("orchard-depot"), { "chamberBank.width": "8", storms }))).toEqual([
      `chamberBank.width: expected ${length}, got "8", without a unit`,
      `storms[0].depth: expected ${length}, got "3", without a unit`,
      "storms[1].climateFactor: expected a number above 0 and of 10 or less, got 20",
      "storms[1].peakAt: expected no such key (known here: pattern, duration, intensity, rainfall, climateFactor, depth), got 0.5",
      'storms[2].stamp: expected one of "start", "end", got "middle"',
    ]);
  });

  test("gives them all in one error, those of geometry beside those of spelling", () => {
    expect(problemsOf(withAll(fixture("orchard-depot"), {
      "settlingBox.rim": "47 m",
      "settlingBox.outlet.invert": "48.2",
      "chamberBank.stone.porosity": 1.2,
      "chamberBank.chambers[0].heigth": "1 m",
      "emitter.crest": "40 m",
      "soil.layers[1].conductivity": undefined,
      extra: {},
    }))).toEqual([
      "extra: expected one of the keys $schema, name, about, region, catchments, settlingBox, chamberBank, overflowTrench, emitter, lowSpot, soil, " +
        "groundwater, storms, watchLevels, surveyError, survey, surroundings, materials, upkeep, studies, papers, prices, variants, asBuilt, diary, got an unknown key",
      `settlingBox.outlet.invert: expected ${length}, got "48.2", without a unit`,
      "chamberBank.stone.porosity: expected a number from 0.001 to 1, got 1.2",
      'chamberBank.chambers[0].heigth: expected a known key (did you mean "height"?), got an unknown key',
      "soil.layers[1]: expected exactly one of: conductivity; test; tests; texture, got none of them",
      'settlingBox.rim: expected a level above the box\'s floor ("47.60 m"), got "47 m"',
      'emitter.crest: expected a level at or above the trench\'s floor at its low end (47.430 m), got "40 m"',
    ]);
  });

  test("says of an empty object what it has to hold", () => {
    expect(problemsOf({})).toEqual([
      "name: expected a name of 1 to 200 characters on one line, got nothing",
      "catchments: expected a list [ … ] of one or more, got nothing",
      "settlingBox: expected an object { … }, got nothing",
      "chamberBank: expected an object { … }, got nothing",
      "soil: expected an object { … }, got nothing",
    ]);
  });

  test("is an InputError, so that one handler serves all input", () => {
    expect(() => readSite({})).toThrow(InputError);
    expect(() => readSite({})).toThrow(expect.objectContaining({ name: "SiteError" }) as Error);
  });
});

describe("what is no site file at all", () => {
  test.each<[unknown, string]>([
    [undefined, "nothing"], [null, "null"], [5, "5"], [[], "an empty list"], [[1], "a list of 1"], [true, "true"], [() => 1, "a function"],
  ])("%o is refused as such", (source, got) => {
    expect(problemsOf(source)).toEqual([`the site: expected an object { … }, got ${got}`]);
  });

  test("a key that would change what an object is stands in the error like any other", () => {
    const text = JSON.stringify(fixture("every-key")).replace('"about"', '"__proto__":{"name":"x"},"about"').replace('"file"', '"__proto__":[],"file"');
    const known = "$schema, name, about, region, catchments, settlingBox, chamberBank, overflowTrench, emitter, lowSpot, soil, groundwater, storms, watchLevels, "
      + "surveyError, survey, surroundings, materials, upkeep, studies, papers, prices, variants, asBuilt, diary";
    expect(problemsOf(text)).toEqual([
      `__proto__: expected one of the keys ${known}, got an unknown key`,
      "storms[1].__proto__: expected another key, got __proto__",
    ]);
  });

  test("options of a storm without end are cut off", () => {
    const endless: unknown[] = [];
    endless.push(endless);
    const problems = problemsOf({ ...fixture("fernhollow"), storms: [{ name: "x", pattern: "own", curve: endless, made: () => 1 }] });
    expect(problems).toEqual([
      `storms[0].curve${"[0]".repeat(8)}: expected options nested no deeper than 8, got deeper ones`,
      "storms[0].made: expected a value that JSON can hold, got a function",
    ]);
  });
});

test("tells a program what kind of fault each is", () => {
  const site = {
    ...fixture("fernhollow"), colour: "red", soil: undefined,
    watchLevels: [{ name: "slab", level: "3" }, { name: "sill", level: "3 s" }, { name: "x", level: 5 }],
    region: "GB", catchments: [{ name: "", area: "1e9 m^2", runoffCoefficient: 1.5, timeOfConcentration: "5 min", cover: "grass" }],
    storms: [{ name: "wet", pattern: "nrcs-9", depth: "3 in" }, { name: "both", pattern: "block", file: "x.csv" }],
  };
  const codes = toldOf(site).map(({ where, code }) => [where, code]);
  expect(codes).toEqual([
    ["colour", "unknown"], ["catchments[0].cover", "unknown"], ["catchments[0].name", "value"], ["catchments[0].area", "range"],
    ["catchments[0].runoffCoefficient", "range"], ["soil", "missing"], ["storms[0].pattern", "unknown"], ["storms[1]", "conflict"],
    ["watchLevels[0].level", "unit"], ["watchLevels[1].level", "unit"], ["watchLevels[2].level", "unit"],
  ]);
  expect(toldOf(changed(fixture("fernhollow"), "chamberBank.ground", "1 m")).every(({ code }) => code === "conflict")).toBe(true);
});

test("a text that is no JSON, or says a key twice, is a fault of syntax", () => {
  for (const text of ["{ a: 1 }", '{ "name": 1, "name": 2 }']) expect(toldOf(text).map(({ code }) => code)).toEqual(["syntax"]);
});

function toldOf(source: unknown): SiteError["problems"] {
  try {
    readSite(source);
  } catch (error) {
    if (error instanceof SiteError) return error.problems;
    throw error;
  }
  throw new Error("expected a SiteError, got a site");
}
