// The lift page in place: who asks, what is newer, whose answer stands there, where a fault belongs, which link it is.
// htmx sends and swaps; every word comes from the page.

const tab = Array.from(crypto.getRandomValues(new Uint8Array(8)), (one) => one.toString(16).padStart(2, "0")).join("");
const linkNow = () => location.pathname + location.search;
let turn = 0;
let pressed = 0; // the turn in which somebody pressed the button, till what it gave stands in sight
let asked = ""; // the form as it was sent last
let changedField = ""; // the field that was changed last, and the one of the last step of the browser's history
let steppedField = null;

const liftForm = (element) => element?.closest?.("form.lift[hx-post]");

/** Says that what is shown belongs to what was said before, or no longer does. */
function outdate(outdated) {
  const answer = document.getElementById("answer");
  if (!answer?.querySelector("[data-link]")) return; // nothing is answered yet
  answer.toggleAttribute("data-before", outdated);
  document.getElementById("before").hidden = !outdated;
}

// -- what is sent -------------------------------------------------------------------------------------------

const saidNow = (form) => new URLSearchParams(new FormData(form)).toString();
const isPressed = (event) => event.detail.triggeringEvent?.type === "submit";

// before htmx drops what is on its way: a change that follows its own typing would end the answer to itself
document.addEventListener("htmx:confirm", (event) => {
  const { elt } = event.detail;
  if (elt === liftForm(elt) && saidNow(elt) === asked && !isPressed(event)) event.preventDefault();
});

document.addEventListener("htmx:configRequest", (event) => {
  const { elt, headers } = event.detail;
  const form = liftForm(elt);
  if (form && elt === form) {
    asked = saidNow(form);
    turn += 1;
    pressed = isPressed(event) ? turn : 0;
    if (pressed) headers["Lift-Pressed"] = "1";
    outdate(true);
  } else if (elt.hasAttribute("data-tap")) {
    turn += 1;
    changedField = elt.getAttribute("hx-get"); // a step of the history of its own
  }
  headers["Lift-Tab"] = tab;
  headers["Lift-Turn"] = String(turn);
});

document.addEventListener("htmx:beforeSend", (event) => {
  const { xhr } = event.detail;
  const ended = xhr.onabort; // must run: htmx else waits for what was dropped, and sends nothing more
  xhr.onabort = () => {
    const log = console.error;
    console.error = () => {}; // what something newer takes the place of is no error, which htmx would log
    try {
      ended();
    } finally {
      console.error = log;
    }
  };
});

document.addEventListener("input", (event) => {
  if (liftForm(event.target)) changedField = event.target.name;
});

// -- what comes back ----------------------------------------------------------------------------------------

document.addEventListener("htmx:beforeSwap", (event) => {
  const sent = Number(event.detail.requestConfig.headers["Lift-Turn"]);
  if (sent < turn) event.detail.shouldSwap = false; // something newer has been asked since
  else if (event.detail.target.id === "answer") {
    stay();
    inSight = heldBy(event.detail.target);
  }
});

// -- what was found so far gives way to the best ---------------------------------------------------------------

const PARTS = [".figure .drawing", ".twin", ".block.offer", ".block.cautions"];
let inSight = null;

/** What the reader of what was found so far has before the eyes, where it stands, and whether the focus is in it. */
function heldBy(answer) {
  if (!answer.querySelector("[data-so-far]") || answer.hasAttribute("data-before")) return null;
  const seen = PARTS.filter((part) => answer.querySelector(part)?.getBoundingClientRect().top < innerHeight / 2);
  const part = seen.at(-1);
  const top = part && answer.querySelector(part).getBoundingClientRect().top;
  return { part, top, focused: answer.contains(document.activeElement) };
}

/** The same of the best stands where that stood. */
function goOnReading(answer) {
  const { part, top, focused } = inSight;
  const now = part && answer.querySelector(part)?.getBoundingClientRect().top;
  const kept = narrow.matches && liftForm(document.activeElement); // the field in hand stays, instead
  if (now !== undefined && !kept) scrollBy({ top: now - top, behavior: "instant" });
  if (focused && !answer.contains(document.activeElement)) answer.querySelector("h1")?.focus({ preventScroll: true });
}

/** An answer changes all that a browser could hold the page by: it would go to the page's end instead. */
function stay() {
  const { style } = document.documentElement;
  style.overflowAnchor = "none";
  const release = () => requestAnimationFrame(() => requestAnimationFrame(() => (style.overflowAnchor = "")));
  document.addEventListener("htmx:afterSettle", release, { once: true });
}

// -- the field in hand stays where it is ----------------------------------------------------------------------

/**
 * On a narrow page the answer stands above the form, and grows and shrinks while somebody types below it. Told
 * after the page is laid out and before it is painted, so that nothing is seen to move.
 */
let formAt = 0;
const narrow = matchMedia("(max-width: 68rem)");
const place = (form) => form.getBoundingClientRect().top + scrollY;
const above = new ResizeObserver(() => {
  const form = document.querySelector("form.lift[hx-post]");
  if (!form) return;
  const now = place(form);
  const moved = now - formAt;
  formAt = now;
  if (moved && narrow.matches && form.contains(document.activeElement)) scrollBy({ top: moved, behavior: "instant" });
});

function watch() {
  above.disconnect();
  const form = document.querySelector("form.lift[hx-post]");
  if (form) formAt = place(form);
  for (const one of document.querySelectorAll("#faults, .shown")) above.observe(one);
}
watch();

document.addEventListener("htmx:afterSwap", (event) => {
  const target = event.detail.target;
  const link = target.querySelector?.("[data-link]")?.dataset.link;
  if (link) step(link);
  if (target.id === "answer") {
    outdate(false);
    mark();
    if (inSight) goOnReading(target);
  } else if (target.id === "faults") {
    mark();
    forget();
  } else if (target.id === "progress") {
    document.getElementById("faults").replaceChildren();
    mark();
    tell(target.querySelector("[role=status]")?.textContent);
  }
  if (pressed && pressed === turn && ["answer", "faults", "progress"].includes(target.id)) present(target);
});

/** Beside the form, too, it says that a newer answer is on its way, not what the one before was. */
function tell(said) {
  const told = document.getElementById("told");
  if (told && said) told.textContent = said;
}

/** What came of pressing the button, which stands below the answer on a narrow page, comes into sight. */
function present(target) {
  if (target.id === "progress") {
    target.scrollIntoView({ block: "start", behavior: "instant" });
    return; // and what is on its way after it
  }
  const first = target.querySelector("h1, .faults");
  if (first) pressed = 0;
  first?.focus({ preventScroll: true });
  const searching = target.querySelector("[data-so-far]") && document.getElementById("progress");
  (searching || first)?.scrollIntoView({ block: narrow.matches ? "start" : "nearest", behavior: "instant" });
}

/** Whatever asks again by itself no longer does once it is gone: its answer would find no place. */
document.addEventListener("htmx:beforeCleanupElement", (event) => {
  if (event.target.matches?.(".progress")) htmx.trigger(event.target, "htmx:abort");
});

/** Puts away how far a search is, and what took its place; nothing is asked for it any more. */
function forget(...instead) {
  const progress = document.getElementById("progress");
  for (const one of progress.querySelectorAll(".progress")) htmx.trigger(one, "htmx:abort");
  progress.replaceChildren(...instead);
}

document.addEventListener("htmx:afterSettle", (event) => {
  if (inSight) goOnReading(document.getElementById("answer")); // what needs a script has come in sight, too
  inSight = null;
  if (event.detail.elt.id !== "lift") return;
  document.querySelector("#lift h1")?.focus({ preventScroll: true });
  watch();
});

for (const trouble of ["htmx:sendError", "htmx:responseError", "htmx:timeout"]) {
  document.addEventListener(trouble, () => {
    const said = document.createElement("p");
    said.setAttribute("role", "alert");
    said.className = "failed";
    said.textContent = document.getElementById("lift").dataset.wordsFailed;
    forget(said);
    asked = "";
  });
}

/** Puts what is wrong at its fields, as the page without a script does. */
function mark() {
  for (const field of document.querySelectorAll("form.lift [aria-invalid]")) {
    field.removeAttribute("aria-invalid");
    field.closest(".field")?.classList.remove("bad");
  }
  for (const note of document.querySelectorAll("form.lift .fault, form.lift [id$='-fault']")) note.remove();
  for (const field of document.querySelectorAll("form.lift [aria-describedby*='-fault']")) {
    field.setAttribute("aria-describedby", field.getAttribute("aria-describedby").replace(/ ?\S+-fault/g, ""));
  }
  for (const fault of document.querySelectorAll("#faults [data-fault]")) {
    const field = document.getElementById(fault.dataset.fault);
    if (!liftForm(field)) continue;
    field.setAttribute("aria-invalid", "true");
    field.closest(".field")?.classList.add("bad");
    const note = document.createElement("p");
    note.className = "fault";
    note.id = `${field.id}-fault`;
    field.setAttribute("aria-describedby", `${field.getAttribute("aria-describedby") ?? ""} ${note.id}`.trim());
    const said = fault.querySelector("span").textContent;
    note.textContent = said.charAt(0).toUpperCase() + said.slice(1); // a sentence of its own here
    field.after(note);
  }
}

/** A link to a field goes into it; without a script it only leads there. */
document.addEventListener("click", (event) => {
  const link = event.target.closest?.("#faults a[href^='#'], a.told");
  const field = link && document.getElementById(link.hash.slice(1));
  if (field?.matches("input, select")) {
    event.preventDefault();
    field.focus({ preventScroll: true });
    field.scrollIntoView({ block: "center", behavior: "instant" });
  }
});

/** What is opened at the foot of the form's own column comes into sight. */
document.addEventListener("click", (event) => {
  const opened = event.target.closest?.("details.explain > summary, details:has(form) > summary")?.parentElement;
  if (opened && !opened.open) {
    requestAnimationFrame(() => opened.scrollIntoView({ block: "nearest", behavior: "instant" }));
  }
});

// -- the link stays the lift --------------------------------------------------------------------------------

/** A step of the browser's history for each field that is changed, not for each letter of it. */
function step(link) {
  if (link === linkNow()) return;
  const same = changedField === steppedField && history.state?.lift;
  history[same ? "replaceState" : "pushState"]({ lift: true }, "", link);
  steppedField = changedField;
  for (const tongue of document.querySelectorAll(".tongues a")) {
    const there = new URL(link, location.href);
    there.searchParams.set("lang", tongue.hreflang);
    tongue.href = there.pathname + there.search;
  }
  const title = document.querySelector("#lift h1")?.textContent;
  if (title) document.title = title;
}

addEventListener("popstate", () => location.reload());

// -- "I do not know" ----------------------------------------------------------------------------------------

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-unknown]");
  const field = button && document.getElementById(button.value);
  if (!field) return;
  event.preventDefault(); // without a script the button sends the form
  field.value = button.dataset.unknown;
  changedField = field.name;
  field.dispatchEvent(new Event("change", { bubbles: true }));
});
