// Moves pick points on a drawing: by mouse, finger and arrow keys. It writes the form's fields, in the unit that
// stands there, and says that they changed; whoever answers the form does the rest. All words come with the page.

const METRES = { mm: 0.001, cm: 0.01, m: 1, in: 0.0254, ft: 0.3048 };
const STEP = { us: 0.5 * METRES.in, si: 0.01 }; // half an inch, a centimetre
const COARSE = { us: 12, si: 10 }; // steps: half a foot, a decimetre
const PAUSE_MS = 350; // after the last arrow key
const STILL_PX = 3; // a tap is no move
const ARROWS = { ArrowRight: [0, 1], ArrowLeft: [0, -1], ArrowUp: [1, 1], ArrowDown: [1, -1] };

const numbers = (text) => text.split(" ").map(Number);
const hostOf = (element) => element.closest("[data-grip-host]");
const gripOf = (event) => event.target.closest?.("[data-grip-host] .grip[data-armed]");
const fieldOf = (row, axis) => document.getElementById(`load.pick_point.${row}.at.${axis}`);
const nameOf = (row) => document.getElementById(`load.pick_point.${row}.name`);
const gripsOf = (row) => [...document.querySelectorAll("[data-grip-host] .grip")].filter((g) => g.dataset.grip === String(row));

// ---- measures ------------------------------------------------------------------------------------------------

/** The unit a field is written in; where nothing can be read from it, the page's own. */
function unitOf(text, system) {
  const unit = /(mm|cm|ft|feet|foot|in\b|inch|['"]|m\b)/.exec(text)?.[1];
  if (["mm", "cm", "m"].includes(unit)) return unit;
  return unit || system === "us" ? "ft" : "mm";
}

const short = (value, places) => String(Number(value.toFixed(places)));

/** A length as somebody would type it: 6 ft 4.5 in, 350 mm, 1.25 m. */
function written(metres, unit) {
  if (unit !== "ft") return `${short(metres / METRES[unit], { mm: 0, cm: 1, m: 3 }[unit])} ${unit}`;
  const inches = Number((metres / METRES.in).toFixed(2));
  const feet = Math.trunc(inches / 12);
  const rest = short(Math.abs(inches - feet * 12), 2);
  if (!feet) return `${short(inches, 2)} in`;
  return rest === "0" ? `${feet} ft` : `${feet} ft ${rest} in`;
}

function systemOf(row, axis, host) {
  return unitOf(fieldOf(row, axis)?.value ?? "", host.dataset.units) === "ft" ? "us" : "si";
}

/** To the grid of steps; a thousandth of a step is no step. */
const onGrid = (value, step) => Math.round(value / step) * step;

function nextOn(value, step, steps) {
  const at = value / step;
  const from = steps > 0 ? Math.floor(at + 1e-3) : Math.ceil(at - 1e-3);
  return (from + steps) * step;
}

// ---- grips ---------------------------------------------------------------------------------------------------

function sayAs(host, words, row, at) {
  const [along, across, up] = at.map((value, axis) => written(value, unitOf(fieldOf(row, axis)?.value ?? "", host.dataset.units)));
  const said = { name: gripsOf(row)[0]?.dataset.name ?? "", along, across, up };
  return host.dataset[words].replace(/\{(\w+)\}/g, (whole, key) => said[key] ?? whole);
}

/** Puts a point's grips where it is, in every view of every drawing. */
function place(row, at) {
  for (const grip of gripsOf(row)) {
    const view = grip.closest(".grips");
    const [x, y] = numbers(view.dataset.originMm);
    const metre = numbers(view.dataset.metreMm);
    const mm = [0, 1].map((i) => at[0] * metre[i] + at[1] * metre[2 + i] + at[2] * metre[4 + i]);
    grip.setAttribute("transform", `translate(${(x + mm[0]).toFixed(3)} ${(y + mm[1]).toFixed(3)})`);
    grip.dataset.atM = at.map((value) => value.toFixed(6)).join(" ");
    if (grip.dataset.armed) grip.setAttribute("aria-label", sayAs(hostOf(grip), "wordsGrip", row, at));
  }
}

function tell(host, text) {
  const status = host.querySelector("[data-grip-status]");
  if (status) status.textContent = text;
}

/** Lets hands and keys take hold; in the view from the end only hands, for the others hold all three measures. */
function arm(root) {
  for (const grip of root.querySelectorAll("[data-grip-host] .grip:not([data-armed])")) {
    if (grip.dataset.grip === "new" || !fieldOf(grip.dataset.grip, 0)) continue;
    grip.dataset.armed = "yes";
    // the style's touch-action is not kept inside a drawing: without this the page scrolls away under the finger
    grip.addEventListener("touchstart", (event) => event.preventDefault(), { passive: false });
    grip.setAttribute("role", "button");
    grip.setAttribute("aria-label", sayAs(hostOf(grip), "wordsGrip", grip.dataset.grip, numbers(grip.dataset.atM)));
    if (grip.closest(".grips").dataset.grips === "end") grip.setAttribute("aria-hidden", "true");
    else grip.setAttribute("tabindex", "0");
  }
  for (const hands of root.querySelectorAll("[data-grip-hands]")) hands.hidden = !fieldOf(0, 0);
  holdAgain();
}

// an answer that replaces the drawing leaves the keys where they were
let held = null;

function holdAgain() {
  if (!held || document.activeElement !== document.body) return;
  const again = gripsOf(held.row).find((grip) => grip.dataset.armed && grip.closest(".grips").dataset.grips === held.view && hostOf(grip).id === held.host);
  again?.focus({ preventScroll: true });
}

document.addEventListener("focusin", (event) => {
  const grip = gripOf(event);
  held = grip && { row: grip.dataset.grip, view: grip.closest(".grips").dataset.grips, host: hostOf(grip).id };
});

// ---- the form ------------------------------------------------------------------------------------------------

/** Writes what was moved into the form and says so: only the measures that are not what they were. */
function commit(host, row, from, to) {
  const fresh = gripsOf(row).some((grip) => grip.dataset.fresh);
  let last = null;
  to.forEach((value, axis) => {
    const field = fieldOf(row, axis);
    if (!field || (!fresh && Math.abs(value - from[axis]) < 1e-9)) return;
    field.value = written(value, unitOf(field.value, host.dataset.units));
    last = field;
  });
  if (!last) return;
  const name = nameOf(row);
  if (fresh && name && !name.value) name.value = gripsOf(row)[0].dataset.name;
  for (const grip of gripsOf(row)) delete grip.dataset.fresh;
  tell(host, sayAs(host, "wordsMoved", row, to));
  for (const kind of ["input", "change"]) last.dispatchEvent(new Event(kind, { bubbles: true }));
}

// ---- hands ---------------------------------------------------------------------------------------------------

let drag = null;

const onSheet = (svg, event) => new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());

/** Of points that fall on each other in a view, the one that the keys hold; else the nearest to the eye. */
function gripUnder(event) {
  const under = document.elementsFromPoint(event.clientX, event.clientY).map((one) => one.closest(".grip[data-armed]"));
  if (under.includes(document.activeElement)) return document.activeElement;
  const far = { elevation: (at) => at[1], end: (at) => -at[0], plan: (at) => -at[2] };
  const depth = (grip) => far[grip.closest(".grips").dataset.grips](numbers(grip.dataset.atM));
  return under.filter(Boolean).sort((a, b) => depth(a) - depth(b))[0];
}

document.addEventListener("pointerdown", (event) => {
  const grip = gripUnder(event);
  if (!grip || event.button !== 0 || drag) return;
  event.preventDefault();
  grip.focus({ preventScroll: true });
  const svg = grip.ownerSVGElement;
  const from = numbers(grip.dataset.atM);
  drag = { grip, svg, id: event.pointerId, row: grip.dataset.grip, host: hostOf(grip), start: onSheet(svg, event), px: [event.clientX, event.clientY], from, to: from, moved: false };
  try {
    grip.setPointerCapture(event.pointerId);
  } catch {
    // the pointer is gone already: its end will be told to the document
  }
});

document.addEventListener("pointermove", (event) => {
  if (!drag || event.pointerId !== drag.id) return;
  drag.moved ||= Math.hypot(event.clientX - drag.px[0], event.clientY - drag.px[1]) >= STILL_PX;
  if (!drag.moved) return;
  const now = onSheet(drag.svg, event);
  const view = drag.grip.closest(".grips").dataset;
  const [u, v] = numbers(view.axes);
  const metre = numbers(view.metreMm);
  const [ux, uy, vx, vy] = [metre[2 * u], metre[2 * u + 1], metre[2 * v], metre[2 * v + 1]];
  const det = ux * vy - uy * vx;
  if (Math.abs(det) < 1e-9) return; // the load hangs edge on in this view: nothing can be measured
  const [dx, dy] = [now.x - drag.start.x, now.y - drag.start.y];
  drag.to = [...drag.from];
  for (const [axis, by] of [[u, (dx * vy - dy * vx) / det], [v, (ux * dy - uy * dx) / det]])
    drag.to[axis] = onGrid(drag.from[axis] + by, STEP[systemOf(drag.row, axis, drag.host)]);
  place(drag.row, drag.to);
  tell(drag.host, sayAs(drag.host, "wordsMoved", drag.row, drag.to));
});

function end(event, keep) {
  if (!drag || event.pointerId !== drag.id) return;
  const { host, row, from, to, moved } = drag;
  drag = null;
  if (!moved) return;
  place(row, keep ? to : from);
  if (keep) commit(host, row, from, to);
}

document.addEventListener("pointerup", (event) => end(event, true));
document.addEventListener("pointercancel", (event) => end(event, false));

// ---- keys ----------------------------------------------------------------------------------------------------

let pause = null;

function settle() {
  if (!pause) return;
  clearTimeout(pause.timer);
  const { host, row, from, to } = pause;
  pause = null;
  commit(host, row, from, to);
}

document.addEventListener("keydown", (event) => {
  const grip = gripOf(event);
  const arrow = ARROWS[event.key];
  if (!grip || !arrow || event.ctrlKey || event.metaKey || event.altKey) return;
  event.preventDefault();
  const row = grip.dataset.grip;
  if (pause && pause.row !== row) settle();
  const host = hostOf(grip);
  const axis = numbers(grip.closest(".grips").dataset.axes)[arrow[0]];
  const at = numbers(grip.dataset.atM);
  const system = systemOf(row, axis, host);
  const to = [...at];
  to[axis] = nextOn(at[axis], STEP[system], arrow[1] * (event.shiftKey ? COARSE[system] : 1));
  place(row, to);
  tell(host, sayAs(host, "wordsMoved", row, to));
  clearTimeout(pause?.timer);
  pause = { host, row, from: pause?.from ?? at, to, timer: setTimeout(settle, PAUSE_MS) };
});

document.addEventListener("focusout", (event) => {
  if (gripOf(event)) settle();
});

// ---- a further point -----------------------------------------------------------------------------------------

/** The first row with nothing in its measures that no grip stands for. */
function emptyRow() {
  for (let row = 0; fieldOf(row, 0); row++)
    if ([0, 1, 2].every((axis) => !fieldOf(row, axis).value.trim()) && !gripsOf(row).length) return row;
  return null;
}

function freeName(row) {
  const typed = nameOf(row)?.value.trim();
  if (typed) return typed;
  const taken = new Set([...document.querySelectorAll("form.lift [id^='load.pick_point.'][id$='.name'], .grip")].map((one) => one.value ?? one.dataset.name));
  return [..."ABCDEFGHIJKLMNOPQRSTUVWXYZ"].find((letter) => !taken.has(letter)) ?? String(row + 1);
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-grip-add]");
  if (!button) return;
  const host = hostOf(button);
  const row = emptyRow();
  if (row === null) {
    tell(host, host.dataset.wordsFull);
    return;
  }
  const name = freeName(row);
  for (const model of document.querySelectorAll("[data-grip-host] .grip[data-grip=new]")) {
    const grip = model.cloneNode(true);
    grip.removeAttribute("display");
    Object.assign(grip.dataset, { grip: row, name, fresh: "yes" });
    model.before(grip);
  }
  arm(document);
  host.querySelector(`.grip[data-grip="${row}"][tabindex]`)?.focus();
  tell(host, host.dataset.wordsAdded.replace("{name}", () => name));
});

document.addEventListener("htmx:load", () => arm(document)); // a drawing that came later
arm(document);
