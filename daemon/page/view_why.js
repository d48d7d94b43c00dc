// The path from the weather to a pot's litres, each number with its equation and source.
import {h, put} from './dom.js';
import {read} from './server.js';
import {longDate} from './days.js';
import {amount, kind_of, number, sentence} from './units.js';
import {asOf, linkTo, tag} from './parts.js';

function value(step) {
  const kind = kind_of[step.unit], x = Number(step.value);
  if (kind && step.value !== '' && !isNaN(x)) return amount(kind, x);
  return step.unit ? step.value + '\u00a0' + step.unit : sentence(step.value);
}

// "8 of 10 possible pots between 1.2 and 1.9": in the step's own unit.
function noteOf(step) {
  const kind = kind_of[step.unit];
  return sentence(kind ? step.note.replace(/ between (-?[\d.]+) and (-?[\d.]+)$/, (_, a, b) => ' between ' + number(kind, Number(a)) + ' and ' + number(kind, Number(b))) : step.note);
}

function stepRow(step) {
  const from = [step.equation, step.source && 'source: ' + step.source].filter(Boolean).join('; ');
  return h('li', h('span.about', sentence(step.label)), h('b.value', value(step)),
    (from || step.note) && h('small', [noteOf(step), sentence(from)].filter(Boolean).join('. ')));
}

function groups(steps) {
  const parts = [];
  let about = null, list = null;
  steps.forEach(step => {
    if (step.about !== about) {
      about = step.about;
      list = h('ol.steps');
      parts.push(h('h2.bay', about), list);
    }
    list.appendChild(stepRow(step));
  });
  return parts;
}

export async function showWhy(main, id) {
  const got = await read('why/' + encodeURIComponent(id));
  const why = got.answer;
  put(main, h('h1', tag(why.pot), ' Why, pot ' + why.pot), h('p.place', longDate(why.day) + ', round ' + why.round), asOf(got.as_of),
    h('ul.because', why.because.map(b => h('li', sentence(b.text) + '.'))),
    h('p', 'Below, each number in the order in which it is worked out.'),
    groups(why.steps),
    h('p', h('a.button', {href: linkTo('pots', why.pot)}, 'All of pot ' + why.pot), ' ', h('a.button', {href: '#/'}, 'Back to the walk')));
}
