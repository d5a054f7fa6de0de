// The comb of a photograph, measured: four taps on the corners of the bar, some more around the comb, each set right
// under a glass.

import { button, draw, el, notice, tell } from "./parts.js";
import { fullKg, measured } from "./photo.js";

const CORNERS = ["upper left", "upper right", "lower right", "lower left"];

/** A finger that is drawn along begins this near to a point, in points of the screen, to take hold of it. */
const NEAR = 28;

/** A finger that moves by less, in points of the screen, taps. */
const TAPS = 8;

/** How much larger the picture is when it is looked at from near. */
const NEARER = 4;

/** A held point moves by this part of the finger's way, so that it can be set finely. */
const FINE = 0.25;

const GLASS = 120;
const GLASS_TIMES = 3;

/** The usual height of a bar's side, and thickness of a comb, in mm; common practice, to be set right by hand. */
const USUAL_HEIGHT_MM = 20;
const USUAL_THICKNESS_MM = 25;

function begun(app) {
  const { what, digest } = app.lastPicture;
  if (app.measure?.digest === digest) {
    return app.measure;
  }
  const shape = app.at?.map.comb;
  app.measure = {
    digest, what, points: [], held: null, middle: null,
    length_mm: shape?.inside_top_mm ?? 480, height_mm: USUAL_HEIGHT_MM, thickness_mm: USUAL_THICKNESS_MM,
  };
  createImageBitmap(app.lastPicture.blob).then(
    (picture) => {
      app.measure.picture = picture;
      app.draw();
    },
    () => {
      app.measure.wrong = "this browser cannot read the picture";
      app.draw();
    },
  );
  return app.measure;
}

/** What the points make so far. */
export function outcome(state) {
  if (!state.picture || state.points.length < 7) {
    return null;
  }
  return measured({
    corners: state.points.slice(0, 4), outline: state.points.slice(4),
    length_mm: state.length_mm, height_mm: state.height_mm,
    picture: { width: state.picture.width, height: state.picture.height },
  });
}

function asks(state) {
  const set = state.points.length;
  if (set < 4) {
    return `Tap the ${CORNERS[set]} corner of the bar.`;
  }
  return set < 7 ? "Tap around the edge of the comb, from one side of the bar to the other." : "Tap on around the comb, draw a point to set it right, or keep it.";
}

/** The part of the picture that is shown: its upper left corner and its width, in points of the picture. */
function shownPart({ picture, middle }) {
  if (!middle) {
    return { left: 0, top: 0, wide: picture.width };
  }
  const wide = picture.width / NEARER;
  const tall = picture.height / NEARER;
  const within = (from, most) => Math.max(0, Math.min(most, from));
  return { left: within(middle[0] - wide / 2, picture.width - wide), top: within(middle[1] - tall / 2, picture.height - tall), wide };
}

function paint(canvas, state) {
  const { picture } = state;
  const { left, top, wide } = shownPart(state);
  const scale = canvas.width / wide;
  const pen = canvas.getContext("2d");
  pen.drawImage(picture, left, top, wide, (wide * picture.height) / picture.width, 0, 0, canvas.width, canvas.height);
  const at = ([x, y]) => [(x - left) * scale, (y - top) * scale];
  const line = (points, closed) => {
    if (points.length === 0) {
      return;
    }
    pen.beginPath();
    points.forEach((point, number) => (number === 0 ? pen.moveTo(...at(point)) : pen.lineTo(...at(point))));
    if (closed) {
      pen.closePath();
    }
    // Dark on light and light on dark: it is seen on every comb.
    for (const [width, colour] of [[6, "#fffdf8"], [2.5, "#17130d"]]) {
      pen.lineWidth = width;
      pen.strokeStyle = colour;
      pen.stroke();
    }
  };
  line(state.points.slice(0, 4), state.points.length >= 4);
  line(state.points.slice(4), state.points.length >= 7);
  state.points.forEach((point, number) => {
    const [x, y] = at(point);
    const large = number === state.held ? 13 : 8;
    pen.beginPath();
    pen.arc(x, y, large, 0, 2 * Math.PI);
    pen.lineWidth = 5;
    pen.strokeStyle = "#fffdf8";
    pen.stroke();
    pen.lineWidth = 2;
    pen.strokeStyle = "#17130d";
    pen.stroke();
  });
  glass(canvas, state, at, scale);
}

/** The surroundings of the point that is held, larger, in the corner away from it. */
function glass(canvas, state, at, scale) {
  const point = state.points[state.held];
  if (!point) {
    return;
  }
  const pen = canvas.getContext("2d");
  const side = GLASS * (canvas.width / canvas.clientWidth || 1);
  const left = at(point)[0] < canvas.width / 2 ? canvas.width - side : 0;
  const part = side / (scale * GLASS_TIMES);
  pen.save();
  pen.fillStyle = "#fffdf8";
  pen.fillRect(left, 0, side, side);
  pen.imageSmoothingEnabled = false;
  pen.drawImage(state.picture, point[0] - part / 2, point[1] - part / 2, part, part, left, 0, side, side);
  pen.lineWidth = 2;
  pen.strokeStyle = "#17130d";
  pen.strokeRect(left, 0, side, side);
  pen.beginPath();
  for (const [x, y, u, v] of [[0, 0.5, 0.42, 0.5], [0.58, 0.5, 1, 0.5], [0.5, 0, 0.5, 0.42], [0.5, 0.58, 0.5, 1]]) {
    pen.moveTo(left + x * side, y * side);
    pen.lineTo(left + u * side, v * side);
  }
  pen.strokeStyle = "#fffdf8";
  pen.lineWidth = 5;
  pen.stroke();
  pen.strokeStyle = "#17130d";
  pen.lineWidth = 1.5;
  pen.stroke();
  pen.restore();
}

function board(app, state) {
  const wide = Math.min(document.documentElement.clientWidth, 640) - 20;
  const ratio = window.devicePixelRatio || 1;
  const tall = (wide * state.picture.height) / state.picture.width;
  const canvas = el("canvas", {
    "data-key": "board", tabindex: "0", role: "img", class: "board",
    width: Math.round(wide * ratio), height: Math.round(tall * ratio),
    "aria-label": "The photograph. Arrow keys move the chosen point.",
  });
  const spot = (event) => {
    const box = canvas.getBoundingClientRect();
    const { left, top, wide: part } = shownPart(state);
    const scale = part / box.width;
    return [left + (event.clientX - box.left) * scale, top + (event.clientY - box.top) * scale, scale];
  };
  // A finger that taps sets a point, however near to another; one that is drawn along moves the point it began at,
  // and of several near ones that which was set last.
  let down = null;
  canvas.addEventListener("pointerdown", (event) => {
    const [x, y, scale] = spot(event);
    const far = state.points.map(([u, v]) => Math.hypot(u - x, v - y) / scale);
    const near = far[state.held] < NEAR ? state.held : far.findIndex((one) => one < NEAR && one === Math.min(...far));
    canvas.setPointerCapture?.(event.pointerId);
    down = { from: [x, y], last: [x, y], near, moves: false };
    state.points.push([x, y]);
    down.was = state.held;
    state.held = state.points.length - 1;
    paint(canvas, state);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!down) {
      return;
    }
    const [x, y, scale] = spot(event);
    if (!down.moves) {
      if (Math.hypot(x - down.from[0], y - down.from[1]) / scale < TAPS) {
        return;
      }
      down.moves = true;
      if (down.near >= 0) {
        state.points.pop();
        state.held = down.near;
      }
      down.last = [x, y];
    }
    const point = state.points[state.held];
    state.points[state.held] = [point[0] + (x - down.last[0]) * FINE, point[1] + (y - down.last[1]) * FINE];
    down.last = [x, y];
    paint(canvas, state);
  });
  canvas.addEventListener("pointerup", () => {
    if (down) {
      down = null;
      app.draw();
    }
  });
  canvas.addEventListener("pointercancel", () => {
    // The system took the finger away: what it set is no point.
    if (down && !down.moves) {
      state.points.pop();
      state.held = down.was;
    }
    down = null;
    app.draw();
  });
  canvas.addEventListener("keydown", (event) => {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const point = state.points[state.held];
    if (way && point) {
      event.preventDefault();
      const step = event.shiftKey ? 10 : 0.5;
      state.points[state.held] = [point[0] + way[0] * step, point[1] + way[1] * step];
      app.draw();
    }
  });
  paint(canvas, state);
  return canvas;
}

/** Where a nearer look goes: to the held point, then to each quarter of the picture that may hold the next. */
function nearness(app, state) {
  const { width, height } = state.picture;
  const look = (middle) => {
    state.middle = middle;
    app.draw();
  };
  if (!state.middle) {
    return el("div", { class: "row" }, button("nearer", "Nearer", () => look(state.points[state.held] ?? [width / 2, height / 2])));
  }
  const [x, y] = state.middle;
  const [right, down] = [width / NEARER / 2, height / NEARER / 2];
  const within = (value, edge, most) => Math.max(edge, Math.min(most - edge, value));
  const to = (key, mark, says, across, along) =>
    button(key, el("span", { "aria-hidden": "true" }, mark),
      () => look([within(x + across * right, right, width), within(y + along * down, down, height)]), { "aria-label": says });
  return el("div", { class: "row" },
    to("go left", "←", "Look further left", -1, 0), to("go right", "→", "Look further right", 1, 0),
    to("go up", "↑", "Look further up", 0, -1), to("go down", "↓", "Look further down", 0, 1),
    button("whole", "Whole", () => look(null)));
}

function number(app, state, key, label) {
  return el("p", { class: "field" },
    el("label", { for: key }, label),
    el("input", {
      id: key, "data-key": key, inputmode: "decimal", value: String(state[key]),
      onchange: (event) => {
        state[key] = Number(event.target.value.replace(",", "."));
        app.draw();
      },
    }));
}

const rounded = (value) => String(Math.round(value));

/** The note of a measured comb. */
export function measureLine(state, told) {
  const { cm2, tilt_deg } = told;
  const thickness = state.thickness_mm > 0 ? ` thickness ${state.thickness_mm} mm` : "";
  return `measure ${state.what} face ${rounded(cm2.value)} cm2${thickness}   # from photograph ${state.digest.slice(0, 8)}, ${
    rounded(cm2.lo)} to ${rounded(cm2.hi)} cm2, leaning ${rounded(tilt_deg)} degrees`;
}

/** The picture that was last taken, to be measured. */
export function measureScreen(app) {
  const state = begun(app);
  const told = outcome(state);
  const kg = told?.cm2 ? fullKg(told.cm2, state.thickness_mm) : null;
  const says = [];
  if (state.wrong) {
    says.push(notice("odd", "Wrong", `${state.wrong}.`));
  } else if (!state.picture) {
    says.push(el("p", {}, "The picture is being read."));
  } else {
    says.push(el("p", { class: "asks" }, asks(state)), board(app, state), nearness(app, state));
  }
  if (told?.wrong) {
    says.push(notice("odd", "Odd", `${told.wrong}.`));
  } else if (told) {
    says.push(el("p", { class: "result" },
      el("strong", {}, `${rounded(told.cm2.value)} cm²`), ` on one face, ${rounded(told.cm2.lo)} to ${rounded(told.cm2.hi)}; leaning ${rounded(told.tilt_deg)}°.`,
      kg ? ` Full and capped on both sides it would hold ${kg.value.toFixed(1)} kg of honey, ${kg.lo.toFixed(1)} to ${kg.hi.toFixed(1)}.` : ""),
    ...told.says.map((words) => notice("plain", "Note", words)));
  }
  const keep = async () => {
    const now = app.now();
    await app.addDrafts([{ line: measureLine(state, told), now, kind: "note" }]);
    tell("The measure is kept.");
    app.measure = null;
    app.lastPicture = null;
    app.back();
  };
  const takeBack = () => {
    state.points.pop();
    state.held = state.points.length > 0 ? state.points.length - 1 : null;
    app.draw();
  };
  draw({
    title: "Measure",
    head: [el("h1", {}, "Measure"), el("p", { class: "where" }, state.what)],
    body: [
      ...says,
      el("div", { class: "row" },
        number(app, state, "length_mm", "Bar, mm long"),
        number(app, state, "height_mm", "Bar, mm high"),
        number(app, state, "thickness_mm", "Comb, mm thick")),
      el("p", { class: "hint" }, "The corners are those of the bar’s side as far as its length was measured. Hold the phone square to the comb; up to 30° of lean have been tried. Thickness and height are usual values until you set them."),
    ],
    thumb: [el("div", { class: "row" },
      button("back", "Back", () => app.back()),
      button("take back", "Undo", takeBack, { disabled: state.points.length === 0 }),
      button("keep measure", "Keep it", keep, { class: "main", disabled: !told?.cm2 }))],
  });
}
