// Inside a frame of another page: tell it how high this one is. The height is nobody's secret, and which pages may
// frame this one is the server's word (frame-ancestors), so it need not be known here.
if (window.parent !== window) {
  const tell = () => {
    const height = document.documentElement.getBoundingClientRect().height;
    window.parent.postMessage({ slingwright: "height", height }, "*");
  };
  new ResizeObserver(tell).observe(document.documentElement);
  tell();
}
