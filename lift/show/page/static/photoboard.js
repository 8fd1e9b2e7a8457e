// The picture, and places on it: tapped, dragged under a loupe, or moved by the keyboard's arrows. Places
// are kept in pixels of the picture.

import { el, svg } from "./dom.js";

const REACH_PX = 30;
const DRAG_PX = 8;
const LOUPE_PX = 132;
const LOUPE_ABOVE_PX = 96;
const LOUPE_TIMES = 3;
// Of the picture's shorter side: a box of hair that was tapped and not drawn.
const TAPPED = 0.12;
const ARROWS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

// Where the corners of a chart, and of a box of hair, begin for who has no finger to tap with.
const FIRST = { chart: [[0.1, 0.2], [0.6, 0.2], [0.6, 0.7], [0.1, 0.7]], hair: [[0.7, 0.3], [0.9, 0.3], [0.9, 0.6], [0.7, 0.6]] };

// Places of a unit square seen in perspective between four corners.
function perspective([p0, p1, p2, p3]) {
  const along = (i) => [p1[i] - p2[i], p3[i] - p2[i], p0[i] - p1[i] + p2[i] - p3[i]];
  const [[x1, x2, x3], [y1, y2, y3]] = [along(0), along(1)];
  const det = x1 * y2 - x2 * y1;
  const [g, h] = [(x3 * y2 - x2 * y3) / det, (x1 * y3 - x3 * y1) / det];
  const at = (i, u, v) =>
    ((p1[i] - p0[i] + g * p1[i]) * u + (p3[i] - p0[i] + h * p3[i]) * v + p0[i]) / (g * u + h * v + 1);
  return (u, v) => [at(0, u, v), at(1, u, v)];
}

// Outline of each patch between the corners of a chart of so many columns and rows, with gaps between
// them in widths of one.
function patches(corners, [columns, rows, gap]) {
  const at = perspective(corners);
  const [wide, high] = [columns + (columns - 1) * gap, rows + (rows - 1) * gap];
  const found = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      const [u, v] = [(column * (1 + gap)) / wide, (row * (1 + gap)) / high];
      const [right, down] = [u + 1 / wide, v + 1 / high];
      found.push([[u, v], [right, v], [right, down], [u, down]].map(([a, b]) => at(a, b)));
    }
  }
  return found;
}

const path = (points) => (points.length ? `M${points.map(([x, y]) => `${x.toFixed(1)} ${y.toFixed(1)}`).join("L")}` : "");

export class Board {
  // `names` say what each corner of a chart and of a box is called; `onchange` is called when places moved.
  constructor(target, { names, onchange }) {
    Object.assign(this, { target, names, onchange });
    this.places = { chart: [], hair: [] };
    this.kind = "chart";
    this.chart = target.dataset.chart.split(" ").map(Number);
    this.canvas = el("canvas", { "aria-hidden": "true" });
    this.lines = svg("svg", { class: "photo-lines", "aria-hidden": "true" });
    this.loupe = el("canvas", { class: "photo-loupe", width: LOUPE_PX, height: LOUPE_PX, hidden: true, "aria-hidden": "true" });
    this.handles = [];
    target.replaceChildren(this.canvas, this.lines, this.loupe);
    target.addEventListener("pointerdown", (event) => this.down(event));
    target.addEventListener("keydown", (event) => this.key(event));
    new ResizeObserver(() => this.fit()).observe(target.parentElement);
  }

  show(bitmap) {
    this.bitmap = bitmap;
    this.places = { chart: [], hair: [] };
    this.fit();
  }

  ask(kind) {
    this.kind = kind;
    this.draw();
  }

  get now() {
    return this.places[this.kind];
  }

  set now(places) {
    this.places[this.kind] = places;
    this.draw();
    this.onchange();
  }

  get isWhole() {
    return this.now.length === FIRST[this.kind].length;
  }

  // As large as there is room for, on the screen's own pixels.
  fit() {
    const { bitmap, target, canvas } = this;
    if (!bitmap || !target.parentElement.clientWidth) return;
    const room = [target.parentElement.clientWidth, Math.max(0.58 * innerHeight, 200)];
    this.scale = Math.min(room[0] / bitmap.width, room[1] / bitmap.height);
    const [wide, high] = [bitmap.width * this.scale, bitmap.height * this.scale];
    target.style.width = `${wide}px`;
    target.style.height = `${high}px`;
    canvas.width = Math.round(wide * devicePixelRatio);
    canvas.height = Math.round(high * devicePixelRatio);
    canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    this.lines.setAttribute("viewBox", `0 0 ${wide} ${high}`);
    this.draw();
  }

  onScreen(places) {
    return places.map(([x, y]) => [x * this.scale, y * this.scale]);
  }

  draw() {
    const { chart, hair } = this.places;
    const lines = [
      svg("path", { class: "photo-outline", d: path(this.onScreen(chart)) + (chart.length === 4 ? "Z" : "") }),
      svg("path", { class: "photo-outline", d: path(this.onScreen(hair)) + (hair.length === 4 ? "Z" : "") }),
    ];
    if (chart.length === 4) {
      const found = patches(this.onScreen(chart), this.chart);
      // Three corners on one line are no chart.
      const inner = found.flat(2).every(Number.isFinite) ? found.map((each) => `${path(each)}Z`).join("") : "";
      lines.push(svg("path", { class: "photo-patches", d: inner }));
    }
    this.lines.replaceChildren(...lines);
    while (this.handles.length > this.now.length) this.handles.pop().remove();
    while (this.handles.length < this.now.length) {
      const handle = el("button", { type: "button", class: "photo-handle" });
      handle.addEventListener("blur", () => { this.loupe.hidden = true; });
      this.handles.push(handle);
      this.target.append(handle);
    }
    this.onScreen(this.now).forEach(([x, y], i) => {
      const handle = this.handles[i];
      handle.setAttribute("aria-label", this.names[this.kind][i]);
      handle.style.left = `${x}px`;
      handle.style.top = `${y}px`;
    });
  }

  at(event) {
    const box = this.target.getBoundingClientRect();
    return [event.clientX - box.left, event.clientY - box.top];
  }

  // On the picture, in its pixels.
  within([x, y]) {
    const inside = (value, most) => Math.min(Math.max(value, 0), most);
    return [inside(x, this.bitmap.width), inside(y, this.bitmap.height)].map((each) => Math.round(10 * each) / 10);
  }

  move(i, place) {
    this.now = this.now.map((each, k) => (k === i ? this.within(place) : each));
    this.look(this.now[i]);
  }

  // The handle nearest to a point of the screen that is within reach; -1 where none is.
  near(point) {
    const far = this.onScreen(this.now).map(([x, y]) => Math.hypot(x - point[0], y - point[1]));
    const least = Math.min(...far);
    return least <= REACH_PX ? far.indexOf(least) : -1;
  }

  down(event) {
    if (event.button !== 0 || !this.bitmap) return;
    event.preventDefault();
    const point = this.at(event);
    const place = this.within(point.map((each) => each / this.scale));
    let i = this.near(point);
    const drawn = i < 0 && this.kind === "hair";
    if (i < 0 && this.isWhole && !drawn) return;
    if (i < 0 && !drawn) {
      this.now = [...this.now, place];
      i = this.now.length - 1;
    }
    // What is dragged keeps its distance to the finger, which would hide it.
    const off = i < 0 ? [0, 0] : this.now[i].map((each, axis) => each - place[axis]);
    if (i >= 0) {
      this.handles[i].focus({ preventScroll: true });
      this.look(this.now[i]);
    }
    this.target.setPointerCapture(event.pointerId);
    const moved = (dragged) => {
      const to = this.at(dragged).map((each) => each / this.scale);
      if (drawn) this.box(place, this.within(to), point, this.at(dragged));
      else this.move(i, to.map((each, axis) => each + off[axis]));
    };
    const ended = (last) => {
      this.target.removeEventListener("pointermove", moved);
      this.loupe.hidden = true;
      if (drawn && Math.hypot(...this.at(last).map((each, axis) => each - point[axis])) < DRAG_PX) this.tapped(place);
    };
    this.target.addEventListener("pointermove", moved);
    this.target.addEventListener("lostpointercapture", ended, { once: true });
  }

  box([x, y], [right, bottom], from, to) {
    if (Math.hypot(to[0] - from[0], to[1] - from[1]) < DRAG_PX) return;
    this.now = [[x, y], [right, y], [right, bottom], [x, bottom]];
    this.look([right, bottom]);
  }

  // A box around a place that was tapped.
  tapped([x, y]) {
    const half = TAPPED * Math.min(this.bitmap.width, this.bitmap.height);
    const around = [[-half, -half], [half, -half], [half, half], [-half, half]];
    this.now = around.map(([dx, dy]) => this.within([x + dx, y + dy]));
  }

  key(event) {
    const i = this.handles.indexOf(event.target);
    if (i < 0) {
      if (event.key !== "Enter" || this.isWhole) return;
      event.preventDefault();
      const { width, height } = this.bitmap;
      const all = FIRST[this.kind].map(([x, y]) => this.within([x * width, y * height]));
      this.now = this.kind === "hair" ? all : [...this.now, all[this.now.length]];
      this.handles.at(-1).focus();
      return;
    }
    const way = ARROWS[event.key];
    if (!way) return;
    event.preventDefault();
    const step = (event.shiftKey ? 10 : 0.5) / this.scale;
    this.move(i, this.now[i].map((each, axis) => each + way[axis] * step));
  }

  // The loupe beside a place: above it, where there is room.
  look([x, y]) {
    const { loupe, bitmap, scale, target } = this;
    loupe.hidden = false;
    const span = LOUPE_PX / (LOUPE_TIMES * scale);
    const drawn = loupe.getContext("2d");
    drawn.clearRect(0, 0, LOUPE_PX, LOUPE_PX);
    drawn.drawImage(bitmap, x - span / 2, y - span / 2, span, span, 0, 0, LOUPE_PX, LOUPE_PX);
    const middle = LOUPE_PX / 2;
    for (const [colour, width] of [["#000", 3], ["#fff", 1]]) {
      drawn.strokeStyle = colour;
      drawn.lineWidth = width;
      drawn.beginPath();
      drawn.moveTo(middle, 0);
      drawn.lineTo(middle, LOUPE_PX);
      drawn.moveTo(0, middle);
      drawn.lineTo(LOUPE_PX, middle);
      drawn.stroke();
    }
    const [left, top] = [x * scale, y * scale];
    const above = top - LOUPE_ABOVE_PX - middle;
    const inside = Math.min(Math.max(left, middle), target.clientWidth - middle);
    // At the upper edge it stands aside, or the finger would lie on it.
    const aside = left < target.clientWidth / 2 ? target.clientWidth - middle : middle;
    loupe.style.left = `${(above < 0 ? aside : inside) - middle}px`;
    loupe.style.top = `${Math.max(above, 0)}px`;
  }
}
