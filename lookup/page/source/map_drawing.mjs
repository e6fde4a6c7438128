// Draws the map on a canvas. A view is {lat, lon, zoom}: its center, and the magnification relative
// to the scale at which the whole area fits.
import { mapBounds, ringsOf } from "./map_data.mjs";

/** From low to high: ever darker, so that grays are distinguishable, too. */
const RAMPS = {
  eto_year: [
    [252, 240, 214],
    [236, 170, 98],
    [116, 40, 10],
  ],
  rain_year: [
    [236, 245, 240],
    [112, 178, 196],
    [10, 58, 84],
  ],
  other: [
    [244, 240, 246],
    [170, 150, 186],
    [62, 40, 84],
  ],
};
const MARGIN_PX = 26;
const FONT = '12px "Helvetica Neue", Helvetica, Arial, "Liberation Sans", sans-serif';

export function classColour(layerId, index, count) {
  const ramp = RAMPS[layerId] ?? RAMPS.other;
  const along = count === 1 ? 0.5 : index / (count - 1);
  const from = along < 0.5 ? 0 : 1;
  const share = along * 2 - from;
  const mixed = ramp[from].map((part, at) => Math.round(part + share * (ramp[from + 1][at] - part)));
  return `rgb(${mixed.join(",")})`;
}

/** Degrees to pixels and back. */
export function projection(data, view, width, height) {
  const { west, south, east, north } = mapBounds(data);
  const shrink = Math.cos((((south + north) / 2) * Math.PI) / 180);
  const fit = Math.min((width - 2 * MARGIN_PX) / ((east - west) * shrink), (height - 2 * MARGIN_PX) / (north - south));
  const scale = fit * view.zoom;
  return {
    scale,
    x: (lon) => width / 2 + (lon - view.lon) * shrink * scale,
    y: (lat) => height / 2 - (lat - view.lat) * scale,
    place: (x, y) => ({ lon: view.lon + (x - width / 2) / (shrink * scale), lat: view.lat - (y - height / 2) / scale }),
  };
}

/** The height for a given width. */
export function mapHeight(data, width) {
  const { west, south, east, north } = mapBounds(data);
  const shrink = Math.cos((((south + north) / 2) * Math.PI) / 180);
  const wanted = ((width - 2 * MARGIN_PX) * (north - south)) / ((east - west) * shrink) + 2 * MARGIN_PX;
  return Math.round(Math.min(Math.max(wanted, width * 0.5, 220), 520, width * 1.2));
}

function drawCells(context, data, layer, classes, onto) {
  const { west, south, cell } = mapBounds(data);
  for (let row = 0; row < data.rows; ++row) {
    const top = Math.floor(onto.y(south + (row + 1) * cell));
    const bottom = Math.floor(onto.y(south + row * cell));
    for (let column = 0; column < data.columns; ++column) {
      const value = layer.values[row * data.columns + column];
      if (value === null || value === undefined) continue;
      const left = Math.floor(onto.x(west + column * cell));
      const right = Math.floor(onto.x(west + (column + 1) * cell));
      context.fillStyle = classColour(layer.id, classes.indexOf(value), classes.count);
      context.fillRect(left, top, Math.max(right - left, 1), Math.max(bottom - top, 1));
    }
  }
}

function drawRings(context, data, onto, colour) {
  context.beginPath();
  for (const ring of ringsOf(data)) {
    ring.forEach(({ lon, lat }, at) =>
      at === 0 ? context.moveTo(onto.x(lon), onto.y(lat)) : context.lineTo(onto.x(lon), onto.y(lat)),
    );
    context.closePath();
  }
  context.strokeStyle = colour;
  context.lineWidth = 1.5;
  context.lineJoin = "round";
  context.stroke();
}

/** Lines twice, dark on light, so that they are visible on all colors of the data. */
function drawGround(context, { lines, places }, onto, width, height, colours) {
  context.lineJoin = "round";
  context.beginPath();
  for (const line of lines) {
    line.forEach(({ lon, lat }, at) =>
      at === 0 ? context.moveTo(onto.x(lon), onto.y(lat)) : context.lineTo(onto.x(lon), onto.y(lat)),
    );
  }
  for (const [colour, lineWidth] of [
    [colours.paper, 2.5],
    [colours.ink, 1],
  ]) {
    context.strokeStyle = colour;
    context.lineWidth = lineWidth;
    context.stroke();
  }
  drawNames(context, places, onto, width, height, colours);
}

const NAME_HEIGHT_PX = 16;

/** The names that find room, the first of the list before others. */
function drawNames(context, places, onto, width, height, colours) {
  const taken = [];
  context.font = FONT;
  for (const { lon, lat, name } of places) {
    const [x, y] = [onto.x(lon), onto.y(lat)];
    const right = x + 6 + context.measureText(name).width;
    const box = { left: x - 4, right, top: y - NAME_HEIGHT_PX / 2, bottom: y + NAME_HEIGHT_PX / 2 };
    const isVisible = box.left > 0 && right < width && box.top > 0 && box.bottom < height;
    const isFree = taken.every(
      (other) => box.right < other.left || box.left > other.right || box.bottom < other.top || box.top > other.bottom,
    );
    if (!isVisible || !isFree) continue;
    taken.push(box);
    context.strokeStyle = colours.paper;
    context.lineWidth = 3;
    context.fillStyle = colours.ink;
    context.strokeText(name, x + 6, y + 4);
    context.fillText(name, x + 6, y + 4);
    context.beginPath();
    context.arc(x, y, 2.5, 0, 2 * Math.PI);
    context.stroke();
    context.fill();
  }
}

const degreesLabel = (degrees, positive, negative, decimals) =>
  `${Math.abs(degrees).toFixed(decimals)}°${degrees === 0 ? "" : ` ${degrees < 0 ? negative : positive}`}`;

/** Meridians and parallels, with their degrees at the edges. */
function drawGraticule(context, onto, width, height, colours) {
  const step = [0.05, 0.1, 0.25, 0.5, 1, 2, 5, 10, 20, 30].find((degrees) => degrees * onto.scale >= 70) ?? 45;
  const decimals = step < 0.1 || step === 0.25 ? 2 : step < 1 ? 1 : 0;
  const corner = onto.place(0, height);
  const opposite = onto.place(width, 0);
  context.strokeStyle = colours.line;
  context.fillStyle = colours.quiet;
  context.lineWidth = 1;
  context.font = FONT;
  context.beginPath();
  for (let at = Math.ceil(corner.lat / step); at * step <= opposite.lat; ++at) {
    const y = Math.round(onto.y(at * step)) + 0.5;
    context.moveTo(0, y);
    context.lineTo(width, y);
    if (y > 16 && y < height - 20) context.fillText(degreesLabel(at * step, "N", "S", decimals), 4, y - 4);
  }
  for (let at = Math.ceil(corner.lon / step); at * step <= opposite.lon; ++at) {
    const x = Math.round(onto.x(at * step)) + 0.5;
    context.moveTo(x, 0);
    context.lineTo(x, height);
    const lon = ((((at * step + 180) % 360) + 360) % 360) - 180;
    if (x > 50 && x < width - 50) context.fillText(degreesLabel(lon, "E", "W", decimals), x + 4, height - 6);
  }
  context.stroke();
}

/** Two rings and a cross, dark and light, visible on any background. */
function drawMark(context, x, y, colours, isChosen) {
  for (const [colour, width] of [
    [colours.paper, 5],
    [colours.ink, 2],
  ]) {
    context.strokeStyle = colour;
    context.lineWidth = width;
    context.beginPath();
    if (isChosen) {
      context.arc(x, y, 7, 0, 2 * Math.PI);
    } else {
      for (const [dx, dy] of [
        [1, 0],
        [-1, 0],
        [0, 1],
        [0, -1],
      ]) {
        context.moveTo(x + 4 * dx, y + 4 * dy);
        context.lineTo(x + 13 * dx, y + 13 * dy);
      }
    }
    context.stroke();
  }
}

/** `ground` is of groundOf, or null; `marks` is {pointer, chosen}: places in degrees, or null. */
export function drawMap(context, { data, ground, layer, classes, view, width, height, colours, marks }) {
  const onto = projection(data, view, width, height);
  context.fillStyle = colours.paper;
  context.fillRect(0, 0, width, height);
  if (classes) drawCells(context, data, layer, classes, onto);
  drawGraticule(context, onto, width, height, colours);
  if (ground) drawGround(context, ground, onto, width, height, colours);
  drawRings(context, data, onto, colours.ink);
  if (marks.chosen) drawMark(context, onto.x(marks.chosen.lon), onto.y(marks.chosen.lat), colours, true);
  if (marks.pointer) drawMark(context, onto.x(marks.pointer.lon), onto.y(marks.pointer.lat), colours, false);
}
