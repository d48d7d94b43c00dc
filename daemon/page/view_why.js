// The path from the weather to a pot's litres, each number with its equation and source.
import {h, put} from './dom.js';
import {read} from './server.js';
import {longDate, near} from './days.js';
import {amount, sentence} from './units.js';
import {asOf, tag} from './parts.js';

const quantities = {L: 'l', mm: 'mm', degC: 'degC', cm: 'cm', 'm/s': 'm_s', kg: 'kg'};

function value(step) {
  const kind = quantities[step.unit], number = Number(step.value);
  if (kind && step.value !== '' && !isNaN(number)) return amount(kind, number);
  return step.value + (step.unit ? '\u00a0' + step.unit : '');
}

function stepRow(step) {
  const from = [step.equation, step.source && 'source: ' + step.source].filter(Boolean).join('; ');
  return h('li', {}, h('span', {class: 'about'}, step.label), h('b', {class: 'value'}, value(step)),
    (from || step.note) && h('small', {}, [sentence(step.note), from].filter(Boolean).join('. ')));
}

function groups(steps) {
  const parts = [];
  let about = null, list = null;
  steps.forEach(step => {
    if (step.about !== about) {
      about = step.about;
      list = h('ol', {class: 'steps'});
      parts.push(h('h2', {class: 'bay'}, about), list);
    }
    list.appendChild(stepRow(step));
  });
  return parts;
}

export async function showWhy(main, id) {
  const got = await read('why/' + encodeURIComponent(id));
  const why = got.answer;
  put(main, h('h1', {tabindex: '-1'}, tag(why.pot), ' Why, pot ' + why.pot), h('p', {class: 'place'}, longDate(why.day) + ', round ' + why.round), asOf(got.as_of),
    h('ul', {class: 'because'}, why.because.map(b => h('li', {}, sentence(b.text) + '.'))),
    h('p', {}, 'Below, each number in the order in which it is worked out.'),
    groups(why.steps),
    h('p', {}, h('a', {class: 'button', href: '#/pots/' + encodeURIComponent(why.pot)}, 'All of pot ' + why.pot), ' ', h('a', {class: 'button', href: '#/'}, 'Back to the walk')));
}
