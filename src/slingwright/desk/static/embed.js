// Shows the lift page inside another page: <script src="https://desk/embed.js" data-lift="..."></script>
// What follows the script is a frame that is as high as what it shows. No cookie, nothing kept, nobody told.
(() => {
  "use strict";
  const script = document.currentScript;
  const desk = new URL(script.src);
  const said = script.dataset;
  const address = new URL(said.lift ? "/lift" : "/", desk.origin);
  if (said.lift) address.searchParams.set("l", said.lift);
  if (said.units) address.searchParams.set("units", said.units);
  if (said.lang) address.searchParams.set("lang", said.lang);
  const frame = document.createElement("iframe");
  frame.src = address.href;
  frame.title = said.title || "Slingwright";
  frame.setAttribute("sandbox", "allow-scripts allow-forms allow-same-origin allow-popups allow-downloads");
  frame.referrerPolicy = "no-referrer";
  frame.style.cssText = "display:block;width:100%;height:40rem;border:0";
  addEventListener("message", (event) => {
    if (event.origin !== desk.origin || event.source !== frame.contentWindow) return;
    const height = event.data && event.data.slingwright === "height" ? Number(event.data.height) : NaN;
    if (height > 0 && height < 100000) frame.style.height = `${Math.ceil(height)}px`;
  });
  // a script in the head has no place in the page: its frame then comes last
  if (!script.closest("head")) script.after(frame);
  else addEventListener("DOMContentLoaded", () => document.body.append(frame));
})();
