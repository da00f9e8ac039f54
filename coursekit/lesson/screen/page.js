// Once a page: keeps a copy of the style where no cell that is scrolled away or cleared takes it along, gives each
// control the name that stands above it (ipywidgets' sliders have none), and reads the sentence of a bench out once a
// move has ended, not at each step of it. Lab takes plain keys for its own commands (an arrow goes to the next cell,
// two d's delete one) even while a drop-down or a button of a lesson has the focus: there they belong to the lesson.
(function () {
  if (window.coursekitNames) { return; }
  window.coursekitNames = true;
  const timers = new WeakMap();
  const set = (node, name, value) => { if (node.getAttribute(name) !== value) { node.setAttribute(name, value); } };
  // What is wider than its place scrolls: with the keyboard too, so it takes the focus – and only then.
  let measuring = 0;
  function reached() {
    for (const box of document.querySelectorAll('.ck-picture, .ck-wide')) {
      if (box.scrollWidth > box.clientWidth + 1) { set(box, 'tabindex', '0'); } else { box.removeAttribute('tabindex'); }
    }
  }
  const measured = () => { clearTimeout(measuring); measuring = setTimeout(reached, 400); };
  window.addEventListener('resize', measured);
  function look() {
    plans();
    measured();
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
    choices();
    for (const bench of document.querySelectorAll('.ck-bench')) {
      const words = bench.querySelector('.ck-words'), status = bench.querySelector('.ck-status');
      if (!words || !status || status.dataset.next === words.textContent) { continue; }
      const first = status.dataset.next === undefined;
      status.dataset.next = words.textContent;
      clearTimeout(timers.get(bench));
      if (!first) { timers.set(bench, setTimeout(() => { status.textContent = status.dataset.next; }, 500)); }
    }
  }
  // Choices that belong together: named by their question, one stop of Tab, and what is chosen is said.
  const watched = new WeakSet();
  let groups = 0;
  function choices() {
    for (const group of document.querySelectorAll('.ck-bench .widget-radio-box')) {
      const asked = group.closest('.ck-bench').querySelector('p');
      set(group, 'role', 'radiogroup');
      if (asked) { set(group, 'aria-label', asked.textContent.trim()); }
      group.id = group.id || `ck-choices-${++groups}`;
      for (const radio of group.querySelectorAll('input')) { set(radio, 'name', group.id); }
    }
    for (const group of document.querySelectorAll('.ck-bench .widget-toggle-buttons')) {
      const control = group.closest('.ck-control'), label = control && control.querySelector('.ck-label');
      set(group, 'role', 'group');
      if (label) { set(group, 'aria-label', label.textContent.trim()); }
    }
    for (const button of document.querySelectorAll('.ck-bench .widget-toggle-button')) {
      set(button, 'aria-pressed', String(button.classList.contains('mod-active')));
      if (watched.has(button)) { continue; }
      watched.add(button);
      new MutationObserver(soon).observe(button, { attributes: true, attributeFilter: ['class'] });
    }
  }
  // What keys run through – the choices of a plan, the place of its damage – is sent where they rest, and before
  // anything else is entered: a press would overtake it.
  let resting = null, ran = false;
  const REST = 400;
  function rested() {
    const last = resting;
    resting = null;
    if (last) { clearTimeout(last.timer); last.send(); }
  }
  function rest(send) {
    if (resting) { clearTimeout(resting.timer); }
    resting = { send, timer: setTimeout(rested, REST) };
  }
  for (const leaves of ['focusout', 'pointerdown']) { window.addEventListener(leaves, rested, true); }
  window.addEventListener('change', event => {
    const list = event.target;
    if (!ran || !event.isTrusted || !list.matches('.ck-plan select')) { return; }
    event.stopPropagation();
    const chosen = list.selectedIndex;
    rest(() => { list.selectedIndex = chosen; list.dispatchEvent(new Event('change', { bubbles: true })); });
  }, true);
  const field = 'textarea, [contenteditable], input:not([type="radio"]):not([type="checkbox"])';
  window.addEventListener('keydown', event => {
    const at = event.target, plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    ran = true;
    setTimeout(() => { ran = false; });  // a choice that this key makes is told within its event
    if (event.key === 'Enter' && at.closest && at.closest('.ck-answer')) {  // the answer goes ahead of its Enter
      at.dispatchEvent(new Event('change', { bubbles: true }));
    }
    if (plain && at.closest && at.closest('.ck-place')) { moved(event, at.closest('.ck-place')); }
    const runs = event.key === 'Enter' && event.shiftKey, leaves = event.key === 'Escape' || event.key === 'Tab';
    if (plain && !runs && !leaves && at.closest && at.closest('.ck-bench') && !at.closest(field + ', .noUi-handle')) {
      event.stopPropagation();
    }
  }, true);
  // The drawing of a panel: the damage follows arrow keys and the pointer, and its two fields are told where it is.
  const drawing = box => box.querySelector('svg.ck-drawing'), mark = svg => svg.querySelector('.ck-place-damage');
  const number = (node, name) => parseFloat(node.getAttribute(name));
  function put(svg, x, y) {
    const rect = mark(svg), d = svg.dataset, wide = number(rect, 'width'), high = number(rect, 'height');
    rect.setAttribute('x', Math.min(Math.max(x, +d.left), Math.max(d.right - wide, +d.left)));
    rect.setAttribute('y', Math.min(Math.max(y, +d.top), Math.max(d.low - high, +d.top)));
  }
  // Where the hand has put it, until the plan's answer shows it there: an answer to an earlier entry draws the old place.
  const wanted = new WeakMap(), PATIENCE = 10000;
  const steps = (value, d) => Math.round(value / d.px / d.step);
  function place(svg) {
    const rect = mark(svg), d = svg.dataset;
    return { x: steps(number(rect, 'x') - d.left, d), y: steps(d.low - number(rect, 'y') - number(rect, 'height'), d) };
  }
  function hold(box) { wanted.set(box, { ...place(drawing(box)), until: Date.now() + PATIENCE, moving: true }); }
  function again(box) {
    const svg = drawing(box), at = wanted.get(box);
    if (!svg || !mark(svg) || !at) { return; }
    const drawn = place(svg), d = svg.dataset, px = d.px * d.step;
    if (!at.moving && (Date.now() > at.until || drawn.x === at.x && drawn.y === at.y)) { wanted.delete(box); return; }
    put(svg, +d.left + at.x * px, d.low - at.y * px - number(mark(svg), 'height'));
  }
  function settled(box) {
    const at = wanted.get(box), bench = box.closest('.ck-bench'), d = drawing(box) && drawing(box).dataset;
    if (!at || !d) { return; }
    at.moving = false;
    for (const side of ['x', 'y']) {
      const field = bench.querySelector('.ck-place-' + side + ' input');
      if (!field) { continue; }
      const text = `${+(Math.max(at[side], 0) * d.step).toFixed(6)} ${d.unit}`;
      if (field.value !== text) { field.value = text; field.dispatchEvent(new Event('change', { bubbles: true })); }
    }
  }
  function moved(event, box) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[event.key];
    const svg = drawing(box);
    if (!way || !svg) { return; }
    event.preventDefault();
    again(box);
    const by = svg.dataset.step * svg.dataset.px * (event.shiftKey ? 5 : 1), rect = mark(svg);
    put(svg, number(rect, 'x') + way[0] * by, number(rect, 'y') + way[1] * by);
    hold(box);
    rest(() => settled(box));
  }
  window.addEventListener('pointerdown', event => {
    const rect = event.target.closest && event.target.closest('.ck-place-damage');
    if (!rect) { return; }
    const svg = rect.ownerSVGElement, box = rect.closest('.ck-place'), scale = svg.viewBox.baseVal.width / svg.getBoundingClientRect().width;
    const from = [event.clientX, event.clientY, number(rect, 'x'), number(rect, 'y')];
    const follow = at => {
      put(drawing(box), from[2] + (at.clientX - from[0]) * scale, from[3] + (at.clientY - from[1]) * scale);
      hold(box);
    };
    const end = () => { window.removeEventListener('pointermove', follow); window.removeEventListener('pointerup', end); settled(box); };
    window.addEventListener('pointermove', follow);
    window.addEventListener('pointerup', end);
    event.preventDefault();
    box.focus();
  }, true);
  window.addEventListener('input', event => {  // typed by hand: the drawing follows the field
    const field = event.isTrusted && event.target.closest && event.target.closest('.ck-place-x, .ck-place-y');
    if (field) { for (const box of field.closest('.ck-bench').querySelectorAll('.ck-place')) { wanted.delete(box); } }
  }, true);
  // The number of a step picks it; where the list is written anew the number keeps the focus.
  let held = null;
  window.addEventListener('click', event => {
    const pick = event.target.closest && event.target.closest('.ck-go-step');
    const list = pick && pick.closest('.ck-bench').querySelector('.ck-step-pick select');
    if (!list || pick.dataset.step === '0') { return; }
    held = [pick.closest('.ck-bench'), pick.dataset.step];
    list.selectedIndex = pick.dataset.step - 1;
    list.dispatchEvent(new Event('change', { bubbles: true }));
  }, true);
  function plans() {
    for (const box of document.querySelectorAll('.ck-place')) {
      again(box);
      set(box, 'tabindex', '0');
      set(box, 'role', 'group');
      set(box, 'aria-label', 'place of the damage: move it with the arrow keys');
    }
    if (held && document.activeElement === document.body) {
      const again = held[0].querySelector(`.ck-go-step[data-step="${held[1]}"]`);
      if (again) { again.focus({ preventScroll: true }); }
    }
    for (const list of document.querySelectorAll('.ck-steps')) {
      const row = list.querySelector('.ck-picked'), key = row && row.textContent;
      if (!row || list.dataset.at === key) { continue; }
      list.dataset.at = key;
      list.scrollTop = Math.max(row.offsetTop - list.clientHeight / 3, 0);
    }
  }
  // Metric or US, chosen in one notebook: the others of this page and of other tabs choose it too.
  const buttons = group => [...group.querySelectorAll('button')];
  function choose(place) {
    for (const group of document.querySelectorAll('.ck-units')) {
      const other = buttons(group)[place];
      if (other && !other.classList.contains('mod-active')) { other.click(); }
    }
  }
  window.addEventListener('click', event => {
    const pressed = event.isTrusted && event.target.closest && event.target.closest('.ck-units button');
    if (!pressed) { return; }
    const place = buttons(pressed.closest('.ck-units')).indexOf(pressed);
    setTimeout(() => choose(place), 100);
    try { localStorage.setItem('coursekit-units', `${place} ${Date.now()}`); } catch (error) { /* kept nowhere */ }
  }, true);
  window.addEventListener('storage', event => {
    if (event.key === 'coursekit-units' && event.newValue) { choose(parseInt(event.newValue, 10)); }
  });
  let asked = false;
  const soon = () => { if (!asked) { asked = true; requestAnimationFrame(() => { asked = false; look(); }); } };
  new MutationObserver(soon).observe(document.body, { childList: true, subtree: true });
  look();
})();
