import type { UnitSystem } from "../text/format.ts";
import { writtenQuantity } from "../text/writtenQuantity.ts";
import { distanceAt, nearHousePicture, nearHouseWords, type NearHouse } from "../yard/nearHouse.ts";
import { byId, put } from "./elements.ts";

/** What there is to pull: the rise of the water at the wall, and the distance that was given. */
interface Wall {
  readonly near: NearHouse;
  readonly units: UnitSystem;
}

/** The section on the distance to the house: a picture whose knob is pulled. */
export interface WallSlider {
  /** @param told  the distance that was given [m]; null if none was, so that a pulled one stays */
  readonly show: (wall: Wall, told: number | null) => void;
  /** forgets what was shown */
  readonly clear: () => void;
  /** draws it again, as wide as its place is now */
  readonly draw: () => void;
}

/** @param letGo  called with the distance in words when the knob is released */
export function wallSlider(letGo: (distance: string) => void): WallSlider {
  let shown: Wall | null = null;
  let distance: number | null = null;
  const wall = byId("wall-picture");

  function draw(): void {
    if (shown === null || distance === null) return;
    const { near, units } = shown;
    put("wall-picture", nearHousePicture(near, distance, units, wall.clientWidth));
    const words = nearHouseWords(near, distance, units);
    byId("wall-words").textContent = words;
    const size = units === "us" ? 0.3048 : 1;
    wall.setAttribute("aria-valuenow", (distance / size).toFixed(1));
    wall.setAttribute("aria-valuemin", "0");
    wall.setAttribute("aria-valuemax", (near.distances.at(-1)! / size).toFixed(0));
    wall.setAttribute("aria-valuetext", words.split(" in a bad storm")[0]!);
  }

  function pull(to: number): void {
    if (shown === null) return;
    distance = Math.min(shown.near.distances.at(-1)!, Math.max(0.3, to));
    draw();
  }

  /** A distance that was pulled counts as given: the field of distances holds it. */
  function tell(): void {
    if (shown === null || distance === null) return;
    // no thumb pulls closer than a foot or a hand
    const step = shown.units === "us" ? 0.3048 : 0.1;
    letGo(writtenQuantity(Math.round(distance / step) * step, "taped", shown.units));
  }

  wall.addEventListener("pointerdown", (event) => {
    if (shown === null) return;
    wall.setPointerCapture(event.pointerId);
    pull(placeOf(event, shown.near));
  });
  wall.addEventListener("pointermove", (event) => {
    if (shown !== null && wall.hasPointerCapture(event.pointerId)) pull(placeOf(event, shown.near));
  });
  wall.addEventListener("pointerup", tell);
  wall.addEventListener("keydown", ({ key }) => {
    const step = shown?.units === "us" ? 0.3048 : 0.5;
    const by = key === "ArrowRight" || key === "ArrowUp" ? step : key === "ArrowLeft" || key === "ArrowDown" ? -step : 0;
    if (by === 0 || distance === null) return;
    pull(distance + by);
    tell();
  });

  function placeOf({ clientX }: PointerEvent, near: NearHouse): number {
    return distanceAt(clientX - wall.getBoundingClientRect().left, wall.clientWidth, near);
  }

  return {
    show: (next, told) => {
      shown = next;
      distance ??= told ?? 3;
      if (told !== null && document.activeElement !== wall) distance = told;
      draw();
    },
    clear: () => {
      shown = null;
      distance = null;
    },
    draw,
  };
}
