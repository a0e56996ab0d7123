// Shows a leg's figures when it is touched, pointed at or reached by key. Without it a leg is a link to its row.
// Listens on the document, for the figure is replaced as answers follow; it makes no markup and says no word.

/** The legs under a point of the page: several fall on each other in a view. */
function legsAt(x, y) {
  const links = document.elementsFromPoint(x, y).map((one) => one.closest?.("[data-figure] a[data-leg]"));
  return [...new Set(links.filter(Boolean).map((link) => link.dataset.leg))];
}

/** Shows these legs' figures and marks them wherever they stand; none: puts all away. */
function show(figure, legs) {
  for (const one of figure.querySelectorAll("[data-figures]")) one.hidden = !legs.includes(one.dataset.figures);
  for (const one of figure.querySelectorAll("a[data-leg]")) one.toggleAttribute("data-shown", legs.includes(one.dataset.leg));
  for (const row of figure.querySelectorAll("tbody tr[id]")) row.toggleAttribute("data-shown", legs.includes(row.id));
}

const linkOf = (event) => event.target.closest?.("[data-figure] a[data-leg]");

document.addEventListener("pointerover", (event) => {
  const link = linkOf(event);
  if (link && event.pointerType === "mouse") show(link.closest("[data-figure]"), legsAt(event.clientX, event.clientY));
});

document.addEventListener("focusin", (event) => {
  const link = linkOf(event);
  if (link && link.matches(":focus-visible")) show(link.closest("[data-figure]"), [link.dataset.leg]);
});

document.addEventListener("click", (event) => {
  const link = linkOf(event);
  if (!link || event.ctrlKey || event.metaKey || event.shiftKey) return;
  event.preventDefault(); // the figures come to the reader; without a script the link goes to them
  const under = event.detail ? legsAt(event.clientX, event.clientY) : []; // 0: by key
  show(link.closest("[data-figure]"), under.length ? under : [link.dataset.leg]);
});

/** Put away by its button, by a touch of the drawing where no leg is, by Escape wherever one is. */
document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-figure] [data-away]");
  const bare = event.target.closest?.("[data-figure] .drawing") && !linkOf(event) && !event.target.closest("[data-grips]");
  if (!button && !bare) return;
  const figure = event.target.closest("[data-figure]");
  show(figure, []);
  if (button) figure.querySelector("[data-touched]").focus({ preventScroll: true }); // where it stood
});

document.addEventListener("keydown", (event) => {
  if (event.key !== "Escape") return;
  for (const figure of document.querySelectorAll("[data-figure]")) show(figure, []);
});
