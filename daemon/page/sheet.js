// The list for paper.
import {h, put, svg} from './dom.js';
import {read, Trouble} from './server.js';
import {longDate, walkDate, near} from './days.js';
import {amount, inPasses, sentence, unit} from './units.js';

function how(line) {
  const each = line.passes > 1 ? ', ' + inPasses(line) : '';
  return amount('l', line.pour_l) + each + (line.until === 'run-through' ? ', or until it runs through' : '');
}

function boxed(words) { return h('span.boxed', h('span.unseen', words)); }

function boxesTable(found) {
  return h('table', h('thead', h('tr', [['Pot'], ['Pour'], ['Done', 'done'], ['Gave, ' + unit('l'), 'gave']].map(t => h('th', {scope: 'col', class: t[1] || null}, t[0])))), h('tbody', found));
}
function boxedRow(pot, words) { return h('tr', h('th.pot', {scope: 'row'}, pot), h('td', words), h('td.done', boxed('to tick')), h('td.gave', boxed('to fill in'))); }

function rows(list) {
  const found = [];
  let bay = null;
  list.pours.slice().sort((a, b) => a.order - b.order).forEach(line => {
    if (line.bay !== bay) {
      bay = line.bay;
      found.push(h('tr.bay', h('th', {colspan: 4, scope: 'colgroup'}, bay)));
    }
    found.push(boxedRow(line.pot, how(line)));
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

// What helps more than a pour, or how to pour: the last words of each reason are the same for several pots.
function advice(list) {
  const by = {};
  list.pours.forEach(line => line.because.forEach(b => {
    if (b.kind !== 'advice' || list.notices.some(n => n.code === b.code)) return;
    const words = b.text.slice(b.text.indexOf('. ') + 1).trim() || b.text;
    (by[words] = by[words] || []).push(line.pot);
  }));
  const found = Object.keys(by);
  return found.length > 0 && [h('h2', 'More than a pour can do'), found.map(words => h('p', by[words].join(', ') + ': ' + sentence(words).replace(/([^.])$/, '$1.')))];
}

function tools() {
  return h('p.tools', h('button', {onclick: () => window.print()}, 'Print'), h('a.button', {href: './#/'}, 'Back to the walk'));
}

function sheet(list) {
  const rest = list.no_water.map(r => r.pot + (r.next_day ? ' until ' + (r.next_day === list.day ? 'this evening' : near(r.next_day, list.day)) : '')).join(', ');
  return [tools(),
    h('h1', longDate(list.day) + ', ' + list.walk), h('p', list.site + ': ' + amount('l', list.total_l) + ' for ' + list.pours.length + (list.pours.length === 1 ? ' pot. ' : ' pots. ') + (rest ? 'No water: ' + rest + '.' : '')),
    list.question && h('p', list.question.text),
    list.notices.filter(n => n.severity !== 'note').map(n => h('p', h('b', sentence(n.text)))),
    boxesTable(rows(list)),
    advice(list), cans(list), h('p', 'Round ' + list.id)];
}

function named(pot, words) { return (pot.label && pot.label !== pot.pot ? pot.label + ': ' : '') + words; }

// For whoever helps: what is done before leaving, then each visit.
function away(a) {
  const most = p => amount('l', p.most_l) + (p.until === 'amount' ? ' and no more' : ' at most, until it runs through');
  return [tools(), h('h1', 'Away from ' + longDate(a.from) + ' to ' + longDate(a.to)), a.sheet_lines.filter(l => l.kind !== 'visit').map(l => h('p', sentence(l.what))),
    a.visits.map(v => [h('h2', longDate(v.day) + ', in the ' + v.walk), boxesTable(v.pours.map(p => boxedRow(p.pot, named(p, most(p)))))]),
    a.cautions.map(c => h('p', h('b', sentence(c))))];
}

function visit(v) {
  return [tools(), h('h1', v.day ? walkDate(v) : 'No visit is needed'), v.pours.length > 0 && h('p', amount('l', v.total_l) + ' at most for ' + v.pours.length + (v.pours.length === 1 ? ' pot.' : ' pots.')),
    v.pours.length > 0 && boxesTable(v.pours.map(p => boxedRow(p.pot, named(p, p.until === 'amount' ? amount('l', p.pour_l) + ' and no more' : how(p))))),
    cans(v), v.rests.length > 0 && h('p', 'No water: ' + v.rests.map(r => r.label || r.pot).join(', ') + '.'), v.later.length > 0 && h('p', 'Visits after that: ' + v.later_visits.map(walkDate).join(', ') + '.'),
    v.cautions.map(c => h('p', h('b', sentence(c)))), v.remarks.map(r => h('p', sentence(r)))];
}

// Labels to cut out: the pot's id, its name, and a code that opens its page.
function labels(answer) {
  return [tools(), h('h1.tools', 'Labels'), !answer.from_elsewhere && h('p.tools', 'Phones cannot come here yet; the codes open the page on this machine only.'),
    h('ul.labels', answer.labels.map(l => h('li', svg('svg', {viewBox: '-4 -4 ' + (l.code_modules + 8) + ' ' + (l.code_modules + 8), role: 'img', 'aria-label': 'Code that opens pot ' + l.pot}, svg('path', {d: l.code_path})),
      h('div', h('b', {class: l.pot.length > 4 ? 'long' : ''}, l.pot), l.label, h('br'), l.trees))))];
}

window.addEventListener('hashchange', () => location.reload());
const main = document.getElementById('main'), asked = location.hash.slice(1).split('/');
const wanted = /labels$/.test(location.pathname) ? {what: 'labels', title: 'Labels', path: 'labels', draw: labels}
  : asked[0] === 'away' ? {what: 'sheet', title: 'Away', path: 'absence?from=' + asked[1] + '&to=' + asked[2], draw: away}
  : asked[0] === 'visit' ? {what: 'sheet', title: 'Visit', path: 'visit?to=' + asked[1], draw: visit}
  : {what: 'sheet', path: 'round', draw: sheet};
if (wanted.title) document.title = wanted.title + ', Tubgrove';
read(wanted.path).then(got => put(main, wanted.draw(got.answer)), trouble => {
  if (!(trouble instanceof Trouble)) throw trouble;
  put(main, h('h1', 'No ' + wanted.what), h('p', trouble.message), h('p', h('a.button', {href: './#/'}, 'To the page')));
});
