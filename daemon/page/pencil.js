// What else can be said of a pot on the walk: another amount, felt, weighed, no water, a note.
import {h, field} from './dom.js';
import {add, counts_once} from './outbox.js';
import {ofList} from './answered.js';
import {forServer, number, typed, turned, unit} from './units.js';

function wrong(input, words) {
  let told = input.parentNode.querySelector('.wrong');
  if (!told) {
    told = h('p.wrong', {role: 'alert', id: input.id + '-wrong'});
    input.parentNode.appendChild(told);
  }
  told.textContent = words;
  input.setAttribute('aria-invalid', 'true');
  input.setAttribute('aria-describedby', told.id);
  input.focus();
}

function amountOf(kind, input, example) {
  const value = typed(kind, input.value);
  if (value === null) wrong(input, 'Not an amount in ' + unit(kind) + '. Right would be: ' + example + '.');
  return value;
}

function form(children, send) {
  return h('form', {novalidate: true, onsubmit: event => { event.preventDefault(); send(); }}, children);
}

// What was typed and not written down yet, by what it is about and field: a list that is drawn anew meanwhile, or revised, takes
// nothing away. `about` names it for good, `id` among what is drawn at once; `part` holds what else lives on under a name.
const drafts = {};
export function draftOf(about, id) {
  const place = drafts[about] = drafts[about] || {};
  const field = (name, given, value) => {
    const key = given.type === 'checkbox' ? 'checked' : 'value';
    const input = h('input', Object.assign({id: name + '-' + id, oninput: () => { place[name] = input[key]; }}, given));
    input[key] = name in place ? place[name] : value;
    return input;
  };
  const part = name => (place[name] = place[name] || {});
  return {field, part, drop: () => { delete drafts[about]; }};
}

export function pencil(line, list, written) {
  const draft = draftOf((list.walk ? list.day + ' ' + list.walk : list.id) + ' ' + line.pot, line.pot);
  const about = (kind, told, words) => ({kind, pot: line.pot, round: list.id, told, words: 'pot ' + line.pot + ', ' + words});
  const write = (words, kind, told) => {
    const key = add('entries', Object.assign({words: [line.pot].concat(words)}, ofList(list)), about(kind, told, words.join(' ')));
    draft.drop();
    written('Pot ' + line.pot + (key ? ': written down.' : counts_once));
  };

  const gave = draft.field('gave', {inputmode: 'decimal', size: 6}, line.pour_l ? number('l', line.pour_l) : '');
  const ran = draft.field('ran', {type: 'checkbox'}, false);
  const sendGave = () => {
    const value = amountOf('l', gave, '2.5 or 2,5');
    if (value === null) return;
    const action = ran.checked ? 'ran-through' : 'watered';
    write([action, forServer('l', value)], 'water', {action, amount_l: value / turned('l', 1)});
  };

  const weight = draft.field('weight', {inputmode: 'decimal', size: 6}, '');
  const sendWeight = () => {
    const value = amountOf('kg', weight, '8.4 or 8,4');
    if (value !== null) write(['weighed', forServer('kg', value)], 'seen');
  };

  const note = draft.field('note', {maxlength: 500}, '');
  const sendNote = () => (note.value.trim() ? write(['noted', note.value.trim()], 'seen') : wrong(note, 'Nothing is written there.'));

  const felt = (word, words) => h('button', {onclick: () => write(['felt', word], 'seen')}, words);
  return h('div.pencil',
    form([field('Gave another amount, ' + unit('l'), gave),
          h('div.tickbox', ran, h('label', {for: ran.id}, 'and it ran through')),
          h('button', {type: 'submit'}, 'Write down')], sendGave),
    h('fieldset', h('legend', 'Felt a finger deep'), felt('dry', 'Dry'), felt('barely-moist', 'Barely moist'), felt('moist', 'Moist'), felt('wet', 'Wet')),
    form([field('Weighed, ' + unit('kg'), weight), h('button', {type: 'submit'}, 'Write down')], sendWeight),
    form([field('Note', note), h('button', {type: 'submit'}, 'Write down')], sendNote),
    line.pour_l ? h('button', {onclick: () => write(['skipped'], 'water', {action: 'skipped'})}, 'Got no water') : null);
}
export {wrong, form};
