// Once a page: gives each control the name that stands above it (ipywidgets' sliders have none), and reads the
// sentence of a bench out once a move has ended, not at each step of it.
(function () {
  if (window.coursekitNames) { return; }
  window.coursekitNames = true;
  const timers = new WeakMap();
  const set = (node, name, value) => { if (node.getAttribute(name) !== value) { node.setAttribute(name, value); } };
  function look() {
    for (const control of document.querySelectorAll('.ck-control')) {
      const label = control.querySelector('.ck-label');
      if (!label) { continue; }
      for (const part of control.querySelectorAll('.noUi-handle, input[type="text"], select')) {
        set(part, 'aria-label', label.textContent.trim());
      }
    }
    for (const bench of document.querySelectorAll('.ck-bench')) {
      const words = bench.querySelector('.ck-words'), status = bench.querySelector('.ck-status');
      if (!words || !status || status.dataset.next === words.textContent) { continue; }
      const first = status.dataset.next === undefined;
      status.dataset.next = words.textContent;
      clearTimeout(timers.get(bench));
      if (!first) { timers.set(bench, setTimeout(() => { status.textContent = status.dataset.next; }, 500)); }
    }
  }
  let asked = false;
  const soon = () => { if (!asked) { asked = true; requestAnimationFrame(() => { asked = false; look(); }); } };
  new MutationObserver(soon).observe(document.body, { childList: true, subtree: true });
  look();
})();
