// The map, on which a place is chosen with the pointer or the keyboard; its data are loaded when it
// is first opened.
import { positionText } from "./coordinates.mjs";
import { button, element, svgElement } from "./elements.mjs";
import {
  classesOf,
  groundOf,
  mapBounds,
  pointedPosition,
  shownUnit,
  siteValueText,
  valueAt,
  valueText,
} from "./map_data.mjs";
import { classColour, drawMap, mapHeight, projection } from "./map_drawing.mjs";
import { siteProfile } from "./site_profile.mjs";

const GREATEST_ZOOM = 64;
const KEY_STEP_PX = 8;
const DRAG_PX = 5;
const KEYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
const HELP =
  "Click or tap a location. Keyboard: arrows move the marker (Shift for larger steps), Enter selects it, plus and minus zoom.";

function themeColours() {
  const style = getComputedStyle(document.documentElement);
  const colour = (name) => style.getPropertyValue(`--${name}`).trim();
  return { paper: colour("paper"), ink: colour("ink"), quiet: colour("quiet"), line: colour("line") };
}

function legendOf(layer, classes, units) {
  if (!classes) return [];
  const entries = Array.from({ length: classes.count }, (_, index) =>
    element(
      "li",
      {},
      svgElement(
        "svg",
        { viewBox: "0 0 18 12", preserveAspectRatio: "none", "aria-hidden": "true" },
        svgElement("rect", { width: 18, height: 12, fill: classColour(layer.id, index, classes.count) }),
      ),
      classes.text(index),
    ),
  );
  return [element("p", {}, `${layer.name}, ${shownUnit(layer, units)}`), element("ul", {}, entries)];
}

const upperFirst = (text) => `${text.slice(0, 1).toUpperCase()}${text.slice(1)}`;

/** `choose` takes a position. Returns {open, show}: `show` shows a site and its units. */
export function mapPanel(holder, published, choose) {
  let data = null;
  let ground = null; // coasts, borders and towns, where the publication has them
  let layer = null;
  let units = "metric";
  let view = null;
  let pointer = null; // the place under the mouse, or the keyboard's marker
  let chosen = null;
  let size = { width: 0, height: 0 };
  let drag = null;
  let readings = 0; // late readings of earlier places are dropped

  const canvas = element(
    "canvas",
    { tabindex: "0", role: "application", "aria-label": "Map of the area", "aria-describedby": "map-help" },
    "Map of the area",
  );
  const reading = element("p", { class: "reading", role: "status" });
  const legend = element("div", { class: "map-legend" });
  const layers = element("select", { id: "map-layer" });

  const onto = () => projection(data, view, size.width, size.height);
  const classes = () => classesOf(layer, units);

  function draw() {
    if (!data || size.width === 0) return;
    const ratio = window.devicePixelRatio || 1;
    canvas.width = Math.round(size.width * ratio);
    canvas.height = Math.round(size.height * ratio);
    const context = canvas.getContext("2d");
    context.scale(ratio, ratio);
    drawMap(context, {
      data,
      ground,
      layer,
      classes: classes(),
      view,
      ...size,
      colours: themeColours(),
      marks: { pointer, chosen },
    });
  }

  /** "about" the mean of the map's cell, which is coarser than an answer. */
  function cellText() {
    const value = valueAt(data, layer, pointer);
    return value === null ? "no data" : `about ${valueText(layer, units, value)}`;
  }

  /** The answer itself where its area has been fetched, as after a click. */
  async function read() {
    if (!pointer) return;
    const mine = ++readings;
    const position = pointedPosition(pointer);
    const write = (text) => {
      reading.textContent = `${positionText(position)}: ${text}`;
    };
    const answer = await published.fetchedAnswerAt(position);
    if (mine !== readings) return;
    if (answer === undefined) write(cellText());
    else write((answer && siteValueText(layer, units, siteProfile(answer))) ?? "no data");
  }

  function renderLegend() {
    legend.replaceChildren(...legendOf(layer, classes(), units));
  }

  function zoomBy(factor) {
    const zoom = Math.min(GREATEST_ZOOM, Math.max(1, view.zoom * factor));
    const middle = zoom === 1 ? middleOf() : (pointer ?? chosen ?? view);
    view = { lat: middle.lat, lon: middle.lon, zoom };
    canvas.classList.toggle("is-near", zoom > 1);
    draw();
  }

  function middleOf() {
    const { west, south, east, north } = mapBounds(data);
    return { lat: (south + north) / 2, lon: (west + east) / 2 };
  }

  /** Keeps the marker in view. */
  function follow() {
    const at = onto();
    const [x, y] = [at.x(pointer.lon), at.y(pointer.lat)];
    const margin = 20;
    if (x < margin || y < margin || x > size.width - margin || y > size.height - margin)
      view = { ...view, lat: pointer.lat, lon: pointer.lon };
  }

  function onKey(event) {
    const move = KEYS[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    if (move) {
      pointer ??= chosen ?? middleOf();
      const at = onto();
      const step = event.shiftKey ? 5 * KEY_STEP_PX : KEY_STEP_PX;
      const place = at.place(at.x(pointer.lon) + move[0] * step, at.y(pointer.lat) + move[1] * step);
      pointer = { lat: Math.min(90, Math.max(-90, place.lat)), lon: place.lon };
      follow();
      read();
      draw();
    } else if (event.key === "Enter" || event.key === " ") {
      if (pointer) choose(pointedPosition(pointer));
    } else if (event.key === "+" || event.key === "=") {
      zoomBy(2);
    } else if (event.key === "-") {
      zoomBy(0.5);
    } else {
      return;
    }
    event.preventDefault();
  }

  const placeOf = (event) => {
    const box = canvas.getBoundingClientRect();
    return onto().place(event.clientX - box.left, event.clientY - box.top);
  };

  function onPointerDown(event) {
    drag = { x: event.clientX, y: event.clientY, view, isMoved: false };
    canvas.setPointerCapture(event.pointerId);
  }

  function onPointerMove(event) {
    if (drag && Math.hypot(event.clientX - drag.x, event.clientY - drag.y) > DRAG_PX) drag.isMoved = true;
    if (drag?.isMoved && view.zoom > 1) {
      const at = projection(data, drag.view, size.width, size.height);
      const middle = at.place(size.width / 2 - (event.clientX - drag.x), size.height / 2 - (event.clientY - drag.y));
      view = { ...drag.view, ...middle };
      draw();
    } else if (event.pointerType === "mouse") {
      pointer = placeOf(event);
      read();
      draw();
    }
  }

  function onPointerUp(event) {
    const isPress = drag && !drag.isMoved;
    drag = null;
    if (!isPress) return;
    pointer = placeOf(event);
    read();
    draw();
    choose(pointedPosition(pointer));
  }

  function resize() {
    if (holder.hidden || !data) return;
    const width = Math.floor(canvas.parentElement.clientWidth);
    size = { width, height: mapHeight(data, width) };
    canvas.style.height = `${size.height}px`;
    draw();
  }

  function build() {
    layer = data.layers[0];
    view = { ...middleOf(), zoom: 1 };
    layers.append(...data.layers.map(({ id, name }) => element("option", { value: id }, upperFirst(name))));
    layers.addEventListener("change", () => {
      layer = data.layers.find(({ id }) => id === layers.value);
      renderLegend();
      read();
      draw();
    });
    canvas.addEventListener("keydown", onKey);
    canvas.addEventListener("pointerdown", onPointerDown);
    canvas.addEventListener("pointermove", onPointerMove);
    canvas.addEventListener("pointerup", onPointerUp);
    canvas.addEventListener("pointercancel", () => {
      drag = null;
    });
    holder.append(
      element(
        "div",
        { class: "map-tools" },
        element("label", { for: "map-layer" }, "Map shows"),
        layers,
        element(
          "span",
          { class: "zoom" },
          button("+", () => zoomBy(2), { "aria-label": "Zoom in" }),
          button("−", () => zoomBy(0.5), { "aria-label": "Zoom out" }),
        ),
      ),
      element("div", { class: "canvas" }, canvas),
      reading,
      legend,
      element("p", { class: "note", id: "map-help" }, HELP),
    );
    new ResizeObserver(resize).observe(holder);
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", draw);
    renderLegend();
    resize();
  }

  return {
    async open() {
      if (data) return resize();
      const fetched = await published.mapData();
      if (data || fetched.layers.length === 0) return undefined;
      data = fetched;
      build();
      // The map is usable before, and without.
      const itsGround = await published.groundData().catch(() => null);
      if (itsGround === null) return undefined;
      ground = groundOf(itsGround);
      return draw();
    },
    show({ position }, itsUnits) {
      chosen = { lat: position.lat / 1e7, lon: position.lon / 1e7 };
      units = itsUnits;
      if (!data) return;
      const { west } = mapBounds(data);
      if (chosen.lon < west - 1) chosen.lon += 360;
      renderLegend();
      read();
      draw();
    },
  };
}
