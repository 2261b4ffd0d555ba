// What a panel shows, told to a screen reader as well: ipywidgets leaves its sliders without a
// name, its switches without a state, and puts new words where nobody hears that they are new.
(() => {
  const set = (part, name, value) => {
    if (value && part.getAttribute(name) !== value) part.setAttribute(name, value);
  };
  const each = (where, selector, act) => where.querySelectorAll(selector).forEach(act);

  const panel = box => {
    set(box, 'role', 'group');
    set(box, 'aria-label', box.querySelector('h3')?.textContent);
  };
  const slider = control => each(control, '.noUi-handle', handle => {
    set(handle, 'aria-label', control.querySelector('.widget-text .widget-label')?.textContent);
    // A slider over a list counts its places; the hidden readout has what stands there.
    const chosen = control.querySelector('.dl-list .widget-readout');
    const number = parseFloat(handle.getAttribute('aria-valuetext'));
    const there = chosen ? chosen.textContent : String(parseFloat(number.toPrecision(6)));
    set(handle, 'aria-valuetext', there);
  });
  const button = key => set(key, 'aria-pressed', String(key.classList.contains('mod-active')));
  const words = said => set(said.parentElement, 'aria-live', 'polite');

  const tell = () => each(document, '.dl-panel', box => {
    panel(box);
    each(box, '.dl-control', slider);
    each(box, '.widget-toggle-button', button);
    each(box, '[role=status]', words);
  });
  const activate = () => {
    let waits = false;
    const soon = () => {
      if (waits) return;
      waits = true;
      requestAnimationFrame(() => { waits = false; tell(); });
    };
    const told = { childList: true, subtree: true, attributeFilter: ['class', 'aria-valuetext'] };
    new MutationObserver(soon).observe(document.body, told);
  };
  const plugin = { id: 'dampinglab:heard', autoStart: true, activate };
  const module = { __esModule: true, default: plugin };
  const container = { init: () => {}, get: async () => () => module };
  (window._JUPYTERLAB ??= {}).dampinglab = container;
})();
