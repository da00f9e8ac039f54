// Once a page: keeps a copy of the style where no cell that is scrolled away or cleared takes it along, gives each
// control the name that stands above it (ipywidgets' sliders have none), and reads the sentence of a bench out once a
// move has ended, not at each step of it. Lab takes plain keys for its own commands (an arrow goes to the next cell,
// two d's delete one) even while a drop-down or a button of a lesson has the focus: there they belong to the lesson.
(function () {
  if (window.coursekitNames) { return; }
  window.coursekitNames = true;
  const timers = new WeakMap();
  const set = (node, name, value) => { if (node.getAttribute(name) !== value) { node.setAttribute(name, value); } };
  function look() {
    if (!document.head.querySelector('.ck-style')) {
      const style = document.querySelector('style.ck-style');
      if (style) { document.head.append(style.cloneNode(true)); }
    }
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
  const field = 'textarea, [contenteditable], input:not([type="radio"]):not([type="checkbox"])';
  window.addEventListener('keydown', event => {
    const at = event.target, plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    const runs = event.key === 'Enter' && event.shiftKey, leaves = event.key === 'Escape' || event.key === 'Tab';
    if (plain && !runs && !leaves && at.closest && at.closest('.ck-bench') && !at.closest(field + ', .noUi-handle')) {
      event.stopPropagation();
    }
  }, true);
  let asked = false;
  const soon = () => { if (!asked) { asked = true; requestAnimationFrame(() => { asked = false; look(); }); } };
  new MutationObserver(soon).observe(document.body, { childList: true, subtree: true });
  look();
})();
