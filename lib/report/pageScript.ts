/**
 * The script of a report, as text: it unpacks the figures and draws each as it is for the width at hand, again when the
 * width changes, and for paper. It asks for nothing from outside.
 */
export const pageScript: string = `(function () {
  "use strict";
  var packed = JSON.parse(document.getElementById("figures").textContent);
  var PAPER = 670;
  function unpacked(part) {
    if (part === null || typeof part !== "object") return part;
    if (typeof part.$ === "number") return unpacked(packed.pieces[part.$]);
    if (Array.isArray(part)) return part.map(unpacked);
    var whole = {};
    Object.keys(part).forEach(function (key) { whole[key] = unpacked(part[key]); });
    return whole;
  }
  function fitting(picture, width) {
    var best = picture.widths[0];
    picture.widths.forEach(function (each) { if (each.width <= width) best = each; });
    return best;
  }
  function draw(picture, width) {
    var place = document.getElementById(picture.id);
    var chosen = fitting(picture, width);
    if (picture.drawn === width) return;
    picture.drawn = width;
    var figure = unpacked(chosen.figure);
    figure.layout.width = width;
    figure.config.responsive = false;
    Plotly.react(place, figure.data, figure.layout, figure.config);
  }
  function drawAll(width) {
    packed.pictures.forEach(function (picture) {
      draw(picture, width || document.getElementById(picture.id).clientWidth);
    });
  }
  // One picture a turn, so that the first is there at once and the page can be read meanwhile.
  var next = 0;
  function drawNext() {
    if (next >= packed.pictures.length) return;
    var picture = packed.pictures[next++];
    draw(picture, document.getElementById(picture.id).clientWidth);
    setTimeout(drawNext, 0);
  }
  drawNext();
  var waiting = 0;
  addEventListener("resize", function () {
    clearTimeout(waiting);
    waiting = setTimeout(function () { if (!matchMedia("print").matches) drawAll(); }, 120);
  });
  addEventListener("beforeprint", function () { drawAll(PAPER); });
  addEventListener("afterprint", function () { drawAll(); });
})();`;
