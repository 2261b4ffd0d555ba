// What the page of JupyterLab lacks for a panel.
(() => {
  // A panel told to a screen reader: ipywidgets leaves its sliders and groups of buttons without a
  // name, its switches without a state, puts new words where nobody hears that they are new, and
  // lets the focus, and what was pressed, get out of sight.
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
  const group = box => {
    const name = box.querySelector('.widget-label')?.textContent;
    set(box, 'role', name && 'group');
    set(box, 'aria-label', name);
  };
  const button = key => {
    const state = key.closest('.dl-step-top') ? 'aria-expanded' : 'aria-pressed';
    set(key, state, String(key.classList.contains('mod-active')));
  };
  const words = said => set(said.parentElement, 'aria-live', 'polite');

  // A press may take its own button away: a list folds, a box is made anew. Whoever works by
  // keyboard goes on from there, with the next thing of the panel, not at the top of the page.
  let held = []; // what has the focus, and all around it up to its panel
  const open = part => part.offsetParent && !part.disabled;
  const hold = event => {
    held = [];
    for (let part = event.target; part?.closest('.dl-panel'); part = part.parentElement) {
      held.push(part);
    }
  };
  const keep = () => {
    const place = held.find(part => part.isConnected);
    if (!place || open(held[0]) || document.activeElement !== document.body) return;
    const panel = held.find(part => part.matches('.dl-panel') && open(part));
    const keys = [...panel?.querySelectorAll('button, input, select, textarea, [tabindex="0"]') ?? []];
    const after = key => place.compareDocumentPosition(key) & Node.DOCUMENT_POSITION_FOLLOWING;
    const there = keys.filter(open);
    (there.find(after) ?? there.at(-1))?.focus();
  };

  // A step that opens closes another, perhaps a long one above it: what was pressed stays in sight.
  let pressed = null;
  const press = event => { pressed = event.target.closest('.dl-step-top button'); };
  const leave = () => { pressed = null; };
  const stay = () => pressed?.scrollIntoView({ block: 'nearest' });

  const tell = () => each(document, '.dl-panel', box => {
    panel(box);
    each(box, '.dl-control', slider);
    each(box, '.widget-toggle-buttons', group);
    each(box, '.widget-toggle-button', button);
    each(box, '[role=status]', words);
  });
  const activate = () => {
    let waits = false;
    const soon = () => {
      if (waits) return;
      waits = true;
      requestAnimationFrame(() => { waits = false; tell(); stay(); });
    };
    const told = { childList: true, subtree: true, attributeFilter: ['class', 'aria-valuetext'] };
    new MutationObserver(soon).observe(document.body, told);
    document.addEventListener('click', press);
    for (const on of ['wheel', 'pointerdown', 'keydown']) document.addEventListener(on, leave, true);
    document.addEventListener('focusin', hold);
    document.addEventListener('focusout', () => requestAnimationFrame(keep));
  };
  const heard = { id: 'dampinglab:heard', autoStart: true, activate };

  // In a narrow window, or on a page enlarged to twice its size, the list of files takes half of
  // the width; in that of a small laptop it takes the place of a panel's controls beside the
  // picture. It folds, and whoever wants it opens it again.
  const narrow = {
    id: 'dampinglab:narrow',
    autoStart: true,
    activate: app => {
      const small = matchMedia('(max-width: 900px), (max-width: 1400px) and (max-height: 800px)');
      const fold = () => small.matches && app.shell.collapseLeft();
      small.addEventListener('change', fold);
      app.restored.then(fold);
    },
  };

  // Lines of prose as wide as a panel: across a large screen the eye loses the next line.
  const lines = {
    id: 'dampinglab:lines',
    autoStart: true,
    activate: () => {
      const style = document.createElement('style');
      style.textContent = '.jp-MarkdownCell :is(p, ul, ol) {max-width:70em}';
      document.head.append(style);
    },
  };

  // A letter typed in a list or on a button is no command to the notebook, where X cuts the cell and
  // A makes another; it is one while the cell itself has the focus.
  const typed = {
    id: 'dampinglab:typed',
    autoStart: true,
    activate: () => {
      const letter = event => event.key.length === 1 &&
          !event.ctrlKey && !event.metaKey && !event.altKey;
      window.addEventListener('keydown', event => {
        const cell = event.target.closest?.('.jp-Cell');
        const inside = cell && cell !== event.target && !event.target.closest('.cm-editor');
        if (inside && letter(event)) event.stopPropagation();
      }, true);
    },
  };

  const module = { __esModule: true, default: [heard, narrow, lines, typed] };
  const container = { init: () => {}, get: async () => () => module };
  (window._JUPYTERLAB ??= {}).dampinglab = container;
})();
