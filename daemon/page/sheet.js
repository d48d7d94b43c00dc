// The list for paper.
import {h, put, svg} from './dom.js';
import {read, Trouble} from './server.js';
import {longDate, near} from './days.js';
import {amount, sentence, unit} from './units.js';

function how(line) {
  const each = line.passes > 1 ? ', ' + (line.passes === 2 ? 'twice ' : line.passes + ' times ') + amount('l', line.pour_l / line.passes) : '';
  return amount('l', line.pour_l) + each + (line.until === 'run-through' ? ', or until it runs through' : '');
}

function boxed(words) { return h('span.boxed', h('span.unseen', words)); }

function rows(list) {
  const found = [];
  let bay = null;
  list.pours.slice().sort((a, b) => a.order - b.order).forEach(line => {
    if (line.bay !== bay) {
      bay = line.bay;
      found.push(h('tr.bay', h('th', {colspan: 4, scope: 'colgroup'}, bay)));
    }
    found.push(h('tr', h('th.pot', {scope: 'row'}, line.pot), h('td', how(line)),
      h('td.done', boxed('to tick')), h('td.gave', boxed('to fill in'))));
  });
  return found;
}

function cans(list) {
  if (!list.trips.length) return null;
  let can = 0;
  return h('section.cans', h('h2', 'Cans'), list.trips.map(trip => h('p', 'From ' + trip.tap + ': ' + trip.cans.map(c => {
    can += 1;
    return '(' + can + ') ' + amount('l', c.can_l) + ' for ' + c.pours.map(p => p.pot + ':\u00a0' + amount('l', p.l)).join(', ');
  }).join('; ') + '.')));
}

function tools() {
  return h('p.tools', h('button', {onclick: () => window.print()}, 'Print'), h('a.button', {href: './#/'}, 'Back to the walk'));
}

function sheet(list) {
  const rest = list.no_water.map(r => r.pot + (r.next_day ? ' until ' + near(r.next_day, list.day) : '')).join(', ');
  return [tools(),
    h('h1', longDate(list.day) + ', ' + list.walk), h('p', list.site + ': ' + amount('l', list.total_l) + ' for ' + list.pours.length + (list.pours.length === 1 ? ' pot. ' : ' pots. ') + (rest ? 'No water: ' + rest + '.' : '')),
    list.question && h('p', list.question.text),
    list.notices.filter(n => n.severity !== 'note').map(n => h('p', h('b', sentence(n.text)))),
    h('table', h('thead', h('tr', h('th', {scope: 'col'}, 'Pot'), h('th', {scope: 'col'}, 'Pour'), h('th', {scope: 'col', class: 'done'}, 'Done'), h('th', {scope: 'col', class: 'gave'}, 'Gave, ' + unit('l')))), h('tbody', rows(list))),
    cans(list), h('p', 'Round ' + list.id)];
}

// Labels to cut out: the pot's id, its name, and a code that opens its page.
function labels(answer) {
  return [tools(), h('h1.tools', 'Labels'), !answer.from_elsewhere && h('p.tools', 'Phones cannot come here yet; the codes open the page on this machine only.'),
    h('ul.labels', answer.labels.map(l => h('li', svg('svg', {viewBox: '-4 -4 ' + (l.code_modules + 8) + ' ' + (l.code_modules + 8), role: 'img', 'aria-label': 'Code that opens pot ' + l.pot}, svg('path', {d: l.code_path})),
      h('div', h('b', {class: l.pot.length > 4 ? 'long' : ''}, l.pot), l.label, h('br'), l.trees))))];
}

const main = document.getElementById('main'), wants_labels = /labels$/.test(location.pathname);
if (wants_labels) document.title = 'Labels, Tubgrove';
read(wants_labels ? 'labels' : 'round').then(got => put(main, wants_labels ? labels(got.answer) : sheet(got.answer)), trouble => {
  if (!(trouble instanceof Trouble)) throw trouble;
  put(main, h('h1', wants_labels ? 'No labels' : 'No sheet'), h('p', trouble.message), h('p', h('a.button', {href: './#/'}, 'To the page')));
});
