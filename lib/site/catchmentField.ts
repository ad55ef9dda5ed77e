import { type Field, mapped, orNone, withDefault } from "../schema/field.ts";
import { areaField, durationField, flowingConductivityField, shareField, thicknessField } from "../schema/measureFields.ts";
import { objectField } from "../schema/objectField.ts";
import { nameField, numberField } from "../schema/scalarFields.ts";
import type { Judge } from "./judge.ts";
import type { Catchment, Loss } from "./site.ts";
import type { SiteFile } from "./siteFile.ts";

/** A catchment as it is written; `drainsTo` null where left out, which stands for the only box. */
export type CatchmentEntry = Omit<Catchment, "drainsTo"> & { readonly drainsTo: string | null };

/** A roof, a yard or a lawn whose rain runs into the works. */
export function catchmentField(): Field<CatchmentEntry> {
  return mapped(objectField<Written>("an area whose rain runs into the works", {
    name: nameField("name of the catchment"),
    area: areaField("plan area; the slope of a roof does not change it"),
    timeOfConcentration: durationField("time the water takes from the far end"),
    drainsTo: orNone(nameField("a box's name, chamberBank or lowSpot; the settling box where missing")),
    initialLoss: withDefault(thicknessField("depth of rain lost before any runs off"), "0 mm"),
    runoffCoefficient: orNone(shareField("share of the rain that runs off")),
    curveNumber: orNone(numberField("NRCS curve number", "from 1 to 100")),
    initialAbstractionRatio: withDefault(shareField("initial abstraction as a share of the storage S, with a curve number"), 0.2),
    peakRateFactor: withDefault(peakRateField(), 484),
    greenAmpt: orNone(greenAmptField()),
  }, [
    { keys: ["runoffCoefficient"] },
    { keys: ["curveNumber"], beside: ["initialAbstractionRatio", "peakRateFactor"] },
    { keys: ["greenAmpt"] },
  ]), ({ name, area, timeOfConcentration, drainsTo, initialLoss, ...written }) =>
    ({ name, area, timeOfConcentration, drainsTo, initialLoss, loss: lossOf(written) }));
}

interface WrittenLoss {
  readonly runoffCoefficient: number | null;
  readonly curveNumber: number | null;
  readonly initialAbstractionRatio: number;
  readonly peakRateFactor: number;
  readonly greenAmpt: GreenAmpt | null;
}

type Written = Omit<CatchmentEntry, "loss"> & WrittenLoss;

type GreenAmpt = Omit<Extract<Loss, { kind: "greenAmpt" }>, "kind">;

/** NEH 630 chapter 16 names factors of about 100 (flat, swampy) to 600 (steep), from memory. */
function peakRateField(): Field<number> {
  return numberField("peak rate factor of the unit hydrograph, with a curve number", "from 50 to 800");
}

function greenAmptField(): Field<GreenAmpt> {
  return objectField<GreenAmpt>("infiltration after Green and Ampt", {
    hydraulicConductivity: flowingConductivityField("hydraulic conductivity of the soil's surface"),
    wettingFrontSuction: thicknessField("suction head at the wetting front"),
    moistureChange: shareField("share of the soil's volume that fills with water"),
  });
}

function lossOf({ runoffCoefficient, curveNumber, initialAbstractionRatio, peakRateFactor, greenAmpt }: WrittenLoss): Loss {
  if (curveNumber !== null) return { kind: "curveNumber", curveNumber, initialAbstractionRatio, peakRateFactor };
  if (greenAmpt !== null) return { kind: "greenAmpt", ...greenAmpt };
  return { kind: "runoffCoefficient", runoffCoefficient: runoffCoefficient ?? NaN };
}

/** Catchments that drain to a body of the site. */
export function checkCatchments({ catchments, settlingBoxes, lowSpot }: SiteFile, judge: Judge): void {
  const names = settlingBoxes.map(({ name }) => name);
  const targets = [...names, "chamberBank", ...(lowSpot === null ? [] : ["lowSpot"])];
  // A box whose name could not be read may be the one that is meant.
  if (names.length === 0 || names.includes("")) return;
  catchments.forEach(({ drainsTo }, index) => {
    const known = drainsTo === null ? names.length === 1 : drainsTo === "" || targets.includes(drainsTo);
    if (known) return;
    const where = `catchments[${index}].drainsTo`;
    const listed = targets.map((target) => JSON.stringify(target)).join(", ");
    judge.refuse(where, `one of ${listed}`, drainsTo === null ? "nothing" : judge.given(where));
  });
}
