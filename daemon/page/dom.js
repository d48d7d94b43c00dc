// Elements without markup in strings: whatever the server said becomes text and nothing else.
const svgSpace = 'http://www.w3.org/2000/svg';

function fill(node, given, children) {
  Object.keys(given || {}).forEach(name => {
    const value = given[name];
    if (value === null || value === undefined || value === false) return;
    if (name.slice(0, 2) === 'on') node.addEventListener(name.slice(2), value);
    else if (name === 'value' && 'value' in node) node.value = value;
    else node.setAttribute(name, value === true ? '' : value);
  });
  add(node, children);
  return node;
}

function add(node, children) {
  children.forEach(child => {
    if (child === null || child === undefined || child === false) return;
    if (Array.isArray(child)) add(node, child);
    else node.appendChild(child instanceof Node ? child : document.createTextNode(String(child)));
  });
}

function filled(node, given, children) {
  return given && given.constructor === Object ? fill(node, given, children) : fill(node, null, [given].concat(children));
}

// What an element is unless it says otherwise: a button sends no form, a heading can be given the focus.
const usual = {BUTTON: {type: 'button'}, H1: {tabindex: '-1'}, INPUT: {type: 'text', autocomplete: 'off'}};
// `name` may carry classes, as in p.needs; attributes may be left out.
export function h(name, given, ...children) {
  const names = name.split('.'), node = fill(document.createElement(names[0]), usual[names[0].toUpperCase()], []);
  if (names[1]) node.className = names.slice(1).join(' ');
  return filled(node, given, children);
}

export function svg(name, given, ...children) { return filled(document.createElementNS(svgSpace, name), given, children); }

export function put(node, ...children) {
  while (node.firstChild) node.removeChild(node.firstChild);
  add(node, children);
  return node;
}

let labels = 0;
// A labelled field: the label's words, the control, and what else stands beside it.
export function field(words, control, ...more) {
  if (!control.id) control.id = 'field-' + (labels += 1);
  return h('div.field', h('label', {for: control.id}, words), control, more);
}

export function select(given, rows) {  // rows: [value, words]
  const chosen = given.value;
  const node = h('select', Object.assign({}, given, {value: null}),
                 rows.map(row => h('option', {value: row[0]}, row[1])));
  if (chosen !== undefined) node.value = chosen;
  return node;
}

// A button that opens and closes what stands below it. Whether it is open lives on in `kept`, where that is given.
export function opener(words, given, build, kept) {
  const state = kept || {}, inside = h('div.opened', {hidden: !state.open, id: 'opened-' + (labels += 1)}, state.open && build());
  const button = h('button', Object.assign({type: 'button', 'aria-expanded': String(Boolean(state.open)), 'aria-controls': inside.id}, given,
    {onclick: () => {
      const open = inside.hidden;
      if (open && !inside.firstChild) put(inside, build());
      inside.hidden = !open;
      state.open = open;
      button.setAttribute('aria-expanded', String(open));
    }}), words);
  return {button, inside};
}

// Said to those who listen instead of looking.
export function say(words) {
  const node = document.getElementById('said');
  node.textContent = '';
  setTimeout(() => { node.textContent = words; }, 50);
}
