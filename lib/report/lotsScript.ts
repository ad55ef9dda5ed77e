/**
 * The script of a page of many lots, as text: a table that is sorted and filtered, fifty rows at a time, each with its small picture; a map
 * from the table's own coordinates; one lot in full beside them. It asks for nothing from outside. `data` stands in the element `lots`.
 */
export const lotsScript: string = `(function () {
  "use strict";
  var data = JSON.parse(document.getElementById("lots").textContent);
  var at = {};
  data.columns.forEach(function (name, i) { at[name] = i; });
  var rows = data.rows, shown = [], page = 0, PAGE = 50, sortBy = "tests", down = true, chosen = -1;
  var el = function (id) { return document.getElementById(id); };
  var SVG = "http://www.w3.org/2000/svg";
  function part(name, attributes) {
    var node = document.createElementNS(SVG, name);
    Object.keys(attributes).forEach(function (key) { node.setAttribute(key, attributes[key]); });
    return node;
  }
  function words(tag, text, className) {
    var node = document.createElement(tag);
    node.textContent = text;
    if (className) node.className = className;
    return node;
  }
  // pit with its water, ground, lid: shut it lies flat, open it stands aslant; strokes over the ground are water where it should not be
  function picture(row, scale) {
    var svg = part("svg", { width: 74 * scale, height: 30 * scale, viewBox: "0 0 74 30", "aria-hidden": "true" });
    var fill = row[at.fill], state = row[at.state], pit = data.colors.pit, lid = data.colors.lid;
    svg.appendChild(part("line", { x1: 2, x2: 72, y1: 8, y2: 8, stroke: data.colors.rule, "stroke-width": 1 }));
    if (fill !== null) {
      var height = Math.max(0, Math.min(1, fill)) * 18;
      svg.appendChild(part("rect", { x: 8, y: 28 - height, width: 26, height: height, fill: pit, "fill-opacity": 0.7 }));
    }
    svg.appendChild(part("rect", { x: 8, y: 10, width: 26, height: 18, fill: "none", stroke: pit }));
    if (state === 1 || row[at.isOpen]) svg.appendChild(part("path", { d: "M58 8 L66 1 M62 8 l4 -3", stroke: lid, "stroke-width": 2, fill: "none" }));
    else svg.appendChild(part("line", { x1: 57, x2: 67, y1: 7, y2: 7, stroke: lid, "stroke-width": 2 }));
    if (state === 2) [14, 21, 28].forEach(function (x) { svg.appendChild(part("line", { x1: x, x2: x + 3, y1: 6, y2: 0, stroke: lid, "stroke-width": 2 })); });
    if (state === 3) svg.appendChild(part("path", { d: "M12 12 L30 26 M30 12 L12 26", stroke: data.colors.soft, "stroke-width": 1.5 }));
    return svg;
  }
  var COLUMNS = [
    ["name", "lot", function (row) { return row[at.name]; }, true],
    ["state", "what happens", function (row) { return data.states[row[at.state]]; }, true],
    ["out", "comes out, of all soils", function (row) { return row[at.outText]; }],
    ["pit", "pit's highest water below the ground", function (row) { return row[at.pitText]; }],
    ["half", "half empty after", function (row) { return row[at.halfText]; }],
    ["holds", "number of " + data.soils + " soils in which it holds", function (row) { return row[at.holdsText]; }],
    ["often", data.hasLid ? "storms a year that open the lid" : "storms a year in which water comes out", function (row) { return row[at.oftenText]; }],
    ["decides", "what would help most", function (row) { return data.deciders[row[at.decides]] || "\\u2013"; }, true],
    ["tests", "a soil test tells", function (row) { return row[at.testText]; }, true],
    ["rise", "neighbours' mounds", function (row) { return row[at.riseText]; }]
  ].filter(function (column) { return (column[0] !== "rise" || data.hasRise) && (column[0] !== "often" || data.hasYears); });
  function select() {
    var text = el("find").value.trim().toLowerCase(), state = el("state").value, decides = el("decides").value;
    shown = [];
    rows.forEach(function (row, i) {
      if (text && row[at.name].toLowerCase().indexOf(text) < 0 && String(row[at.runsTo] || "").toLowerCase().indexOf(text) < 0) return;
      if (state !== "" && row[at.state] !== Number(state)) return;
      if (decides !== "" && row[at.decides] !== Number(decides)) return;
      shown.push(i);
    });
    var key = at[sortBy], sign = down ? -1 : 1;
    shown.sort(function (a, b) {
      var x = rows[a][key], y = rows[b][key];
      if (x === null || y === null) return x === y ? a - b : x === null ? 1 : -1;
      if (x === y && sortBy === "tests") { x = rows[a][at.outMost]; y = rows[b][at.outMost]; }
      return x === y ? a - b : (x < y ? -1 : 1) * sign;
    });
    page = 0;
    fillTable();
    drawMap();
  }
  function fillTable() {
    var body = el("rows"), from = page * PAGE, to = Math.min(shown.length, from + PAGE);
    body.textContent = "";
    for (var n = from; n < to; n++) body.appendChild(rowOf(shown[n]));
    el("told").textContent = shown.length === 0 ? "No lot is like that." : "Lots " + (from + 1) + " to " + to + " of " + shown.length + (shown.length < rows.length ? ", out of " + rows.length : "");
    el("before").disabled = page === 0;
    el("after").disabled = to >= shown.length;
    document.querySelectorAll("#table thead th").forEach(function (head) {
      head.setAttribute("aria-sort", head.dataset.key === sortBy ? (down ? "descending" : "ascending") : "none");
    });
  }
  function rowOf(i) {
    var row = rows[i], line = document.createElement("tr");
    if (i === chosen) line.className = "chosen";
    COLUMNS.forEach(function (column, c) {
      var cell = document.createElement(c === 0 ? "th" : "td");
      if (column[3]) cell.className = "left";
      if (c === 0) {
        cell.scope = "row";
        var button = words("button", column[2](row));
        button.type = "button";
        button.addEventListener("click", function () { choose(i, true); });
        cell.appendChild(button);
      } else {
        if (column[0] === "state") cell.appendChild(picture(row, 1));
        // a band goes under its figure where there is no room beside it
        if (column[3]) cell.appendChild(words("span", column[2](row)));
        else column[2](row).split(" (").forEach(function (part, n) { cell.append(n === 0 ? "" : " ", words("span", n === 0 ? part : "(" + part)); });
      }
      line.appendChild(cell);
    });
    return line;
  }
  function capital(text) { return text.charAt(0).toUpperCase() + text.slice(1); }
  function choose(i, scroll) {
    chosen = i;
    var row = rows[i], place = el("lot");
    place.textContent = "";
    place.hidden = false;
    place.appendChild(words("h3", row[at.name]));
    place.appendChild(picture(row, 2.4));
    place.appendChild(words("p", capital(data.states[row[at.state]]) + (row[at.state] === 3 ? "." : " with its own soil; in " + row[at.holdsText] + " of " + data.soils + " likely soils nothing comes out.")));
    var list = document.createElement("dl");
    var tell = function (name, value) {
      var group = document.createElement("div");
      group.appendChild(words("dt", name));
      group.appendChild(words("dd", value));
      list.appendChild(group);
    };
    tell("Comes out, lid and surface", row[at.outText]);
    if (data.hasLid) tell("of it at the lid", row[at.lidText]);
    tell("Highest water below the ground over the pit", row[at.pitText]);
    tell("Half empty after", row[at.half] === null ? "not within the run" : row[at.halfText]);
    if (data.deciders[row[at.decides]]) tell("What would help most", data.deciders[row[at.decides]] + (row[at.keepsText] === "" ? "" : ": it keeps in " + row[at.keepsText] + " of what comes out"));
    if (data.hasYears) {
      tell(data.hasLid ? "Storms a year that open the lid" : "Storms a year in which water comes out", row[at.oftenText]);
      if (row[at.yearText] !== "") tell("The lid lets out a year", row[at.yearText]);
      if (row[at.greatestText] !== "") tell("The most in one storm of the years", row[at.greatestText]);
      if (row[at.wetText] !== "") tell("Water in the pit for so much of the time", row[at.wetText]);
    }
    if (row[at.rise] !== null) tell("Neighbours' mounds lift the water table by", row[at.riseText]);
    if (row[at.runsTo]) tell("The lid runs to", row[at.runsTo]);
    data.keys.forEach(function (key, k) { if (row[at.values][k] !== null) tell(key, String(row[at.values][k])); });
    place.appendChild(list);
    var whole = words("p", "Its whole report: ", "about");
    whole.appendChild(words("code", data.command.replace("NAME", function () { return JSON.stringify(row[at.name]); })));
    place.appendChild(whole);
    fillTable();
    drawMap();
    if (scroll && !matchMedia("print").matches) place.scrollIntoView({ block: "nearest" });
  }
  // the map: the table's own coordinates, drawn by hand; whatever is not selected is pale
  var canvas = el("map"), view = null, SIZE = 4.5;
  function viewOf() {
    var box = [Infinity, Infinity, -Infinity, -Infinity];
    var take = function (x, y) { box = [Math.min(box[0], x), Math.min(box[1], y), Math.max(box[2], x), Math.max(box[3], y)]; };
    rows.forEach(function (row) {
      if (row[at.x] === null) return;
      take(row[at.x], row[at.y]);
      row[at.rings].forEach(function (ring) { ring.forEach(function (point) { take(point[0], point[1]); }); });
    });
    return box;
  }
  function drawMap() {
    if (canvas === null) return;
    var width = canvas.clientWidth, ratio = window.devicePixelRatio || 1;
    view = view || viewOf();
    var wide = Math.max(1, view[2] - view[0]), tall = Math.max(1, view[3] - view[1]);
    var height = Math.max(180, Math.min(560, Math.round(width * tall / wide) + 48));
    canvas.width = width * ratio;
    canvas.height = height * ratio;
    canvas.style.height = height + "px";
    var pen = canvas.getContext("2d");
    pen.setTransform(ratio, 0, 0, ratio, 0, 0);
    var scale = Math.min((width - 40) / wide, (height - 60) / tall);
    var left = (width - scale * wide) / 2, top = (height - 30 - scale * tall) / 2;
    canvas.toPlace = function (x, y) { return [left + (x - view[0]) * scale, top + (view[3] - y) * scale]; };
    // marks of a dense table are small enough to stand apart
    var places = rows.filter(function (row) { return row[at.x] !== null; }).length;
    SIZE = Math.max(1.4, Math.min(4.5, 0.3 * Math.sqrt(scale * scale * wide * tall / Math.max(1, places))));
    var picked = {};
    shown.forEach(function (i) { picked[i] = true; });
    rows.forEach(function (row, i) { if (!picked[i]) mark(pen, row, i, scale, 0.18); });
    shown.forEach(function (i) { mark(pen, rows[i], i, scale, 1); });
    if (chosen >= 0) mark(pen, rows[chosen], chosen, scale, 1);
    scaleBar(pen, scale, width, height);
  }
  function mark(pen, row, i, scale, alpha) {
    if (row[at.x] === null) return;
    var state = row[at.state], color = data.colors.states[state];
    pen.globalAlpha = alpha;
    pen.strokeStyle = data.colors.rule;
    pen.lineWidth = 1;
    row[at.rings].forEach(function (ring) {
      pen.beginPath();
      ring.forEach(function (point, k) { var to = canvas.toPlace(point[0], point[1]); if (k === 0) pen.moveTo(to[0], to[1]); else pen.lineTo(to[0], to[1]); });
      pen.closePath();
      pen.fillStyle = color + "22";
      pen.fill();
      pen.stroke();
    });
    var to = canvas.toPlace(row[at.x], row[at.y]), size = i === chosen ? 7 : SIZE;
    pen.beginPath();
    pen.fillStyle = color;
    pen.strokeStyle = color;
    pen.lineWidth = SIZE > 3 ? 1.6 : 1.1;
    if (state === 2) { pen.moveTo(to[0], to[1] - size * 1.3); pen.lineTo(to[0] + size * 1.2, to[1] + size); pen.lineTo(to[0] - size * 1.2, to[1] + size); pen.closePath(); pen.fill(); }
    else if (state === 3) { pen.moveTo(to[0] - size, to[1] - size); pen.lineTo(to[0] + size, to[1] + size); pen.moveTo(to[0] + size, to[1] - size); pen.lineTo(to[0] - size, to[1] + size); pen.stroke(); }
    else { pen.arc(to[0], to[1], size, 0, 7); if (state === 1) pen.stroke(); else pen.fill(); }
    if (i === chosen) { pen.beginPath(); pen.strokeStyle = data.colors.text; pen.lineWidth = 2; pen.arc(to[0], to[1], size + 5, 0, 7); pen.stroke(); }
    pen.globalAlpha = 1;
  }
  function scaleBar(pen, scale, width, height) {
    var metres = data.map.metres, most = (width / 4) / scale / metres, step = Math.pow(10, Math.floor(Math.log10(most)));
    var length = most >= 5 * step ? 5 * step : most >= 2 * step ? 2 * step : step, pixels = length * metres * scale;
    pen.strokeStyle = data.colors.text;
    pen.fillStyle = data.colors.text;
    pen.lineWidth = 1.5;
    pen.beginPath();
    pen.moveTo(20, height - 14);
    pen.lineTo(20 + pixels, height - 14);
    pen.stroke();
    pen.font = "13px sans-serif";
    pen.fillText(length + " " + data.map.unit + ", north is up", 26 + pixels, height - 10);
  }
  if (canvas !== null) canvas.addEventListener("click", function (event) {
    var box = canvas.getBoundingClientRect(), x = event.clientX - box.left, y = event.clientY - box.top, best = -1, least = 18;
    rows.forEach(function (row, i) {
      if (row[at.x] === null) return;
      var to = canvas.toPlace(row[at.x], row[at.y]), away = Math.hypot(to[0] - x, to[1] - y);
      if (away < least) { least = away; best = i; }
    });
    if (best >= 0) choose(best, false);
  });
  var heads = el("heads");
  COLUMNS.forEach(function (column) {
    var head = document.createElement("th"), button = words("button", column[1]);
    head.scope = "col";
    head.dataset.key = column[0];
    if (column[3]) head.className = "left";
    button.type = "button";
    button.addEventListener("click", function () {
      if (sortBy === column[0]) down = !down; else { sortBy = column[0]; down = !column[3] || column[0] === "tests"; }
      select();
    });
    head.appendChild(button);
    heads.appendChild(head);
  });
  ["find", "state", "decides"].forEach(function (id) { el(id).addEventListener("input", select); });
  el("before").addEventListener("click", function () { page--; fillTable(); });
  el("after").addEventListener("click", function () { page++; fillTable(); });
  addEventListener("resize", drawMap);
  select();
})();`;
