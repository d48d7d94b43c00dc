// Being away: how long each pot lasts, what makes it last, and the fewest visits.
import {h, put, field} from './dom.js';
import {read} from './server.js';
import {clock, dayOf, daysAfter, daysBetween, longDate, shifted, shortDate, weekday} from './days.js';
import {amount, sentence} from './units.js';
import {figure, ranges} from './plot.js';
import {asOf, table} from './parts.js';
import {form, wrong} from './pencil.js';
import {cares, nameOf, stocks} from './view_ahead.js';
import {ended} from './jobs.js';

function chosenOf(pot) { return pot.tried.filter(t => t.what === pot.chosen)[0]; }

function ask(from, to, today) {
  const first = h('input', {type: 'date', value: from || '', min: today}), last = h('input', {type: 'date', value: to || '', min: today});
  return h('div.pencil', form([field('First day away', first), field('Last day away', last), h('button', {type: 'submit', class: 'plain'}, 'Work it out')], () => {
    if (!first.value) return void wrong(first, 'A day is needed.');
    if (!last.value || last.value < first.value) return void wrong(last, 'A day is needed, not before the first.');
    location.hash = '#/away/' + first.value + '/' + last.value;
  }));
}

function plot(a, width) {
  const start = dayOf(a.leaves), at = time => (time === null ? null : daysAfter(start, time));
  const days = daysBetween(start, dayOf(a.returns)) + 1, marks = [];
  for (let i = 0; i < days; i += 1) marks.push({at: i, words: shortDate(shifted(start, i))});
  const span = (t, key, full) => ({low: at(t[key + '_low_at']), middle: at(t[key + '_at']), high: at(t[key + '_high_at']), full});
  return ranges({width, from: 0, to: days, marks, lines: a.visits.map(v => at(v.at)).concat(at(a.returns)), each: 3.2},
    a.pots.map(p => ({words: p.pot.slice(0, 9), spans: [span(chosenOf(p), 'checked', false), span(chosenOf(p), 'harmed', true)]})));
}

// "Sat 1 Aug 14:00": days of a time to come, so none is called tomorrow.
function dayTime(time) { return weekday(dayOf(time)).slice(0, 3) + ' ' + shortDate(dayOf(time)) + ' ' + clock(time); }

// "Sat 1 Aug 14:00 to Mon 3 Aug 9:00"
function span(a, t, key) {
  const when = time => (time === null ? null : dayTime(time)), low = when(t[key + '_low_at']), high = when(t[key + '_high_at']);
  return low === null ? 'not before you are back' : low + (high === null ? ' or later' : high === low ? '' : ' to ' + high);
}

function tableOf(a) {
  return table('How long each pot lasts', ['Pot', 'Growth checked', 'Leaves harmed', 'Safe until'], a.pots.map(p => {
    const t = chosenOf(p);
    return [nameOf(p), span(a, t, 'checked'), span(a, t, 'harmed'), t.safe_until ? dayTime(t.safe_until) : 'you are back'];
  }));
}

function visits(a) {
  if (!a.visits.length) return null;
  return h('section', h('h2.bay', a.visits.length === 1 ? 'One visit' : a.visits.length + ' visits'),
    h('ul.jobs', a.sheet_lines.filter(l => l.kind === 'visit').map(l => h('li', h('h3', l.when), (l.parts || []).length ? h('ul.each-pot', l.parts.map(part => h('li', sentence(ended(part))))) : h('p', sentence(ended(l.what)))))));
}

function draw(a) {
  const link = 'sheet#away/' + a.from + '/' + a.to;
  return [h('p.sum', a.safe ? (a.visits.length ? (a.visits.length === 1 ? 'One visit is' : a.visits.length + ' visits are') + ' the least that keeps every pot from harm.' : 'Nobody needs to come: all pots are safe with what is done before.')
      : a.safe_with_water ? (a.visits.length === 1 ? 'One visit is' : a.visits.length + ' visits are') + ' the least, and water is short: up to ' + amount('big_l', Math.ceil(a.bring_l)) + ' must be brought.'
      : 'Even a visit at each walk does not keep all of them safe.'),
    h('p', 'Filled on ' + longDate(dayOf(a.leaves)) + ' at ' + clock(a.leaves) + ', back on ' + longDate(dayOf(a.returns)) + '.'),
    visits(a), stocks(a.stocks),
    figure('How long each pot lasts', 'From the filling on leaving. Upper line with a ring: growth is checked. Lower line with a block: leaves are harmed. Lines hold eight of ten possibilities; arrows go on; dotted uprights are visits and the return.', width => plot(a, width), () => tableOf(a)),
    h('p.needs', 'Growth checked: the pot has run dry, and the tree stops growing. Leaves harmed: it takes up too little to keep them all. Safe until: up to then no leaf is harmed in nine cases of ten.'),
    h('section', h('h2.bay', 'Before you leave'), h('ul.because', a.sheet_lines.filter(l => l.kind === 'leaving').map(l => h('li', sentence(l.what))))),
    h('section', h('h2.bay', 'For whoever helps'), a.sheet_lines.filter(l => l.kind !== 'leaving' && l.kind !== 'visit').map(l => h('p', sentence(l.what))), h('p', h('a.button', {href: link}, 'Sheet for paper'))),
    cares(a)];
}

export async function showAway(main, from, to) {
  const today = (await read('round')).answer.day;
  const got = from && to ? await read('absence?from=' + from + '&to=' + to) : null;
  put(main, h('h1', 'Being away'), got && asOf(got.as_of), ask(from, to, today), got && draw(got.answer));
}
