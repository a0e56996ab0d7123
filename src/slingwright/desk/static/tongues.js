// A page whose lift changed while somebody typed has the new lift in its address: the other language takes it along.

for (const link of document.querySelectorAll(".tongues a[hreflang]")) {
  link.addEventListener("click", () => {
    const here = new URL(location.href);
    if (!here.searchParams.has("l")) return; // the link as it stands is right
    here.searchParams.set("lang", link.hreflang);
    link.href = here.href;
  });
}
