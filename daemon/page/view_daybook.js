// What was written down, newest first; a mistake is struck, never erased.
import {h, put, say, select} from './dom.js';
import {read} from './server.js';
import {strike, all, drop, onChange} from './outbox.js';
import {clock, date, dayOf, longDate, shifted} from './days.js';
import {amount} from './units.js';
import {join, struckOf} from './answered.js';
import {asOf, tag} from './parts.js';
import {plainFact} from './facts.js';

let shown = null, drawnIn = null, sure = null;
const suffixes = {l: 'l', kg: 'kg', cm: 'cm', mm: 'mm'};

function roundWords(id) {
  const found = /^(\d{4}-\d\d-\d\d)-([a-z]+)/.exec(id);
  return found ? found[2] + ' round of ' + date(found[1]) : 'round ' + id;
}

function told(entry) {
  if (entry.action === 'struck') return 'entry ' + entry.strikes + ' struck';
  const values = Object.keys(entry.values).map(key => {
    const end = suffixes[key.slice(key.lastIndexOf('_') + 1)], value = entry.values[key];
    if (typeof value === 'number' && end) return amount(end, value, 2);  // as it was written
    if (key.indexOf('.') > 0 || key === 'bay' || key === 'medium') return plainFact(key + ' ' + value);
    return String(value);
  });
  const action = entry.action === 'round' ? roundWords(entry.round) + ':' : entry.action.replace(/-/g, ' ');
  return [action].concat(values.length > 4 ? values.slice(0, 3).concat('and ' + (values.length - 3) + ' more') : values.join(', ')).filter(Boolean)
    .join(entry.action === 'added' ? ': ' : ' ').replace(/,(\S)/g, ', $1');
}

function strikeButton(entry) {
  if (sure === entry.id)
    return h('span.boxes',
      h('button.plain', {id: 'sure-' + entry.id, onclick: () => { sure = null; strike(entry.id, {}); say('Entry ' + entry.id + ' struck.'); draw(); }}, 'Strike entry ' + entry.id),
      h('button.quiet', {onclick: () => { sure = null; draw('strike-' + entry.id); }}, 'Keep'));
  return h('button.quiet', {id: 'strike-' + entry.id, 'aria-label': 'Strike entry ' + entry.id,
                      onclick: () => { sure = entry.id; draw('sure-' + entry.id); }}, 'Strike');
}

function row(entry, struck) {
  const gone = struck[entry.id];
  return h('li', {class: gone ? 'entry struck' : 'entry'},
    entry.pot ? tag(entry.pot) : h('span.tag.none', {'aria-hidden': 'true'}),
    h('div.what', h('p', h('span.unseen', entry.pot ? 'Pot ' + entry.pot + ' ' : ''), gone ? h('s', told(entry)) : told(entry), gone && h('b', ' struck')),
      entry.note && h('p', entry.note),
      h('small', clock(entry.when) + (entry.by ? ', ' + entry.by : '') + ', entry ' + entry.id + (entry.clock === 'unknown' ? ', clock not sure' : ''))),
    gone ? null : strikeButton(entry));
}

export function unsent() {
  const items = all();
  if (!items.length) return null;
  return h('section', h('h2.bay', 'Not sent yet'), h('ul.lines', items.map(item => h('li.entry',
    item.about.pot ? tag(item.about.pot) : h('span.tag.none', {'aria-hidden': 'true'}),
    h('div.what', h('p', item.about.words), item.refused && h('p.wrong', 'Not taken: ' + item.refused)),
    item.refused && h('button.quiet', {onclick: () => drop(item.key), 'aria-label': 'Throw away: ' + item.about.words}, 'Throw away')))));
}

function days() {
  const parts = [], struck = struckOf(shown.daybook);
  let day = null, rows = null;
  shown.daybook.entries.slice().sort((a, b) => Date.parse(b.when) - Date.parse(a.when) || b.id - a.id).forEach(entry => {
    if (dayOf(entry.when) !== day) {
      day = dayOf(entry.when);
      rows = h('ul.lines');
      parts.push(h('h2.bay', longDate(day) + (day.slice(0, 4) === shown.today.slice(0, 4) ? '' : ' ' + day.slice(0, 4))), rows);
    }
    rows.appendChild(row(entry, struck));
  });
  return parts.length ? parts : h('p', 'Nothing was written down in this time.');
}

function draw(focus) {
  if (!drawnIn || location.hash.indexOf('#/daybook') !== 0) return;
  const before = document.activeElement ? document.activeElement.id : '';
  put(drawnIn, h('h1', 'Daybook'), asOf(shown.as_of),
    h('div.pick',
      h('label', {for: 'for-pot'}, 'Pot'), select({id: 'for-pot', value: shown.pot, onchange: e => again({pot: e.target.value}, 'for-pot')}, [['', 'all']].concat(shown.pots.map(p => [p.id, p.id]))),
      h('label', {for: 'for-days'}, 'Time'), select({id: 'for-days', value: String(shown.days), onchange: e => again({days: Number(e.target.value)}, 'for-days')},
        [['7', 'a week'], ['31', 'a month'], ['366', 'a year'], ['0', 'all']])),
    unsent(), days());
  const wanted = document.getElementById(focus || before);
  if (wanted && (focus || drawnIn.contains(wanted))) wanted.focus({preventScroll: !focus});
}

async function load(pot, count) {
  const list = await read('round');
  const query = (pot ? '&pot=' + encodeURIComponent(pot) : '') + (count ? '&from=' + shifted(list.answer.day, -count) : '');
  const got = await read('daybook' + query.replace('&', '?'));
  const pots = await read('pots');
  shown = {daybook: got.answer, as_of: got.as_of, pots: pots.answer.pots, pot, days: count, today: list.answer.day};
}

async function again(change, focus) {
  await load('pot' in change ? change.pot : shown.pot, 'days' in change ? change.days : shown.days);
  draw(focus);
}

onChange(event => {
  if (!shown) return;
  if (event.sent && event.answer && event.answer.entries) join(shown.daybook, event.answer.entries.filter(e => !shown.pot || e.pot === shown.pot));
  draw();
});

export async function showDaybook(main) {
  drawnIn = main;
  await load(shown ? shown.pot : '', shown ? shown.days : 7);
  draw();
}
