// Opens the 3D view when asked, and only then loads it: the page stays light until somebody turns the load.

async function open(host, button) {
  if (host.dataset.view3d !== "shut") return;
  const status = host.querySelector("[data-view3d-status]");
  host.dataset.view3d = "opening";
  status.textContent = host.dataset.wordsOpening;
  try {
    const { openView3d } = await import("./view3d.js");
    await openView3d(host);
    host.dataset.view3d = "open";
    status.textContent = "";
    button.hidden = true;
    host.querySelector("[data-view3d-stage]").focus({ preventScroll: true });
  } catch (error) {
    host.dataset.view3d = "shut"; // it may be tried again
    host.querySelector("[data-view3d-stage]").hidden = true;
    status.textContent = host.dataset.wordsFailed;
    console.error(error);
  }
}

/** Shows the buttons: without a script there is nothing to open, and no button. */
function arm(root) {
  for (const button of root.querySelectorAll("[data-view3d-start]")) button.hidden = false;
}

document.addEventListener("click", (event) => {
  const button = event.target.closest?.("[data-view3d-start]");
  if (button) open(button.closest("[data-view3d]"), button);
});
document.addEventListener("htmx:load", (event) => arm(event.detail.elt)); // an answer that came later
arm(document);
