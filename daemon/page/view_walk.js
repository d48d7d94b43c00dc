// Today's walk: what to pour, pot by pot or can by can, and what became of it.
import {h, put, say} from './dom.js';
import {read} from './server.js';
import {add, counts_once, takeBack, strike, onChange} from './outbox.js';
import {take, put as keep} from './kept.js';
import {dayOf, longDate, walkDate, clock, near, nearTime, shifted} from './days.js';
import {amount, inPasses, plain, range, sentence} from './units.js';
import {answersFor, join, ofList, walkOf} from './answered.js';
import {pencil} from './pencil.js';
import {ended, jobs} from './jobs.js';
import {asOf, calmly, linkTo, tag} from './parts.js';

let shown = null;  // {list, daybook, as_of, pots, actions}
let open = {};

// Marks of the first of two passes: for this phone only, since the daybook knows whole pours.
function firstPours(list) { return take('first.' + walkOf(list.id), {}); }
function markFirst(list, pot, on) {
  const marks = firstPours(list);
  if (on) marks[pot] = Date.now();
  else delete marks[pot];
  keep('first.' + walkOf(list.id), marks);
}

function poured(line, action, words) {
  const told = {action, amount_l: action === 'watered' ? line.pour_l : undefined};
  return add('entries', Object.assign({words: [line.pot].concat(words)}, ofList(shown.list)),
             {kind: 'water', pot: line.pot, round: shown.list.id, told, words: 'pot ' + line.pot + ', ' + words.join(' ')});
}

function tick(line, action) {
  const words = action === 'watered' ? ['watered', plain(line.pour_l, 2) + 'L'] : [action];
  // Another window of this phone may have answered it: what the list shows then is old.
  if (toldOf(line, answersFor(shown.list, shown.daybook))) say('Pot ' + line.pot + ' is answered already; take that back first.');
  else say('Pot ' + line.pot + (poured(line, action, words) ? ': written down.' : counts_once));
  redraw(line.pot);
}

function answerWords(told) {
  if (told.action === 'skipped') return 'no water';
  if (told.action === 'ran-through') return 'ran through' + (told.amount_l ? ' after ' + amount('l', told.amount_l, 2) : '');
  if (told.action === 'round') return {all: 'as listed', some: 'about half of the list', none: 'not poured'}[told.poured] || 'answered';
  return 'gave ' + amount('l', told.amount_l, 2);
}

function undo(line, told) {
  if (told.key) takeBack(told.key);
  else strike(told.entry, {pot: line.pot, round: shown.list.id});
  say('Taken back.');
  redraw(line.pot);
}

function doneLine(line, told, also) {
  const where = told.waits ? 'not sent yet' : told.when ? clock(told.when) : '';
  return h('div.done',
    h('p.answer', h('span.check', {'aria-hidden': 'true'}), h('span.unseen', 'Done: '), answerWords(told),
      where && h('small', ' ' + where), told.by && h('small', ' by ' + told.by)),
    // A helper strikes only what carries the helper's name.
    (!shown.list.visit || told.key || told.by === shown.name) && h('button.quiet', {onclick: calmly(() => undo(line, told)), 'aria-label': 'Take back, pot ' + line.pot}, 'Take back'), also);
}

// What can be ticked: the lines of a list, and of a visit those of today; a visit to come is shown only.
function ticks() { return !shown.list.visit || shown.list.visit.due; }

function box(words, label, act, pressed) {
  return h('button.box', {'aria-label': label, 'aria-pressed': pressed, onclick: calmly(act)},
           h('span.square', {'aria-hidden': 'true'}), h('span', words));
}

function boxes(line) {
  const found = [];
  const name = ', pot ' + line.pot;
  if (line.passes > 1) {
    const half = firstPours(shown.list)[line.pot];
    found.push(box(half ? 'First pass at ' + new Date(half).toTimeString().slice(0, 5) : 'First pass', 'First pass' + name,
      () => { markFirst(shown.list, line.pot, !half); redraw(line.pot); }, half ? 'true' : 'false'));
  }
  if (line.until === 'run-through') found.push(box('Ran through', 'Ran through' + name, () => tick(line, 'ran-through')));
  found.push(box('Gave ' + amount('l', line.pour_l), 'Gave ' + amount('l', line.pour_l) + name, () => tick(line, 'watered')));
  return found;
}

function howMuch(line) {
  const each = line.passes > 1 ? inPasses(line) + ', half an hour apart' : '';
  const until = line.until === 'run-through' ? 'or until it runs through' : '';
  return [each, until].filter(Boolean).join(', ');
}

// When it runs dry is told in the garden's words, which know "dry already" from "tomorrow 14:00".
function needs(line) {
  const dry = line.because.filter(b => /^dry-(at|early)$/.test(b.code))[0];
  return 'Needs ' + range('l', line.low_l, line.high_l) + '; ' + (dry ? dry.text : 'lasts more than ten days without water') + '.';
}

// Why a line is as it is; what a notice tells for all of its pots is not said again.
function reasons(line, kinds) {
  return line.because.filter(b => kinds.indexOf(b.kind) >= 0 && !shown.list.notices.some(n => n.code === b.code));
}
function besides(line) {
  return reasons(line, ['today', 'advice']).map(b => h(b.kind === 'advice' ? 'p.flag' : 'p.needs', sentence(ended(b.text))));
}

function opens(line) {
  const opened = !!open[line.pot];
  return h('button.more', {id: 'opens-' + line.pot, 'aria-expanded': String(opened), 'aria-controls': 'more-' + line.pot,
    'aria-label': (opened ? 'Close' : 'Other') + ', pot ' + line.pot,
    onclick: () => { open[line.pot] = !opened; redraw(line.pot, 'opens-' + line.pot); }}, opened ? 'Close' : 'Other');
}

function more(line) {
  const opened = !!open[line.pot];
  return h('div', {id: 'more-' + line.pot, hidden: !opened, class: 'opened'},
    opened && pencil(line, shown.list, written => { open[line.pot] = false; redraw(line.pot); say(written); }));
}

function whyLink(pot) { return shown.list.visit ? null : h('a.quiet.why', {href: linkTo('why', pot), 'aria-label': 'Why, pot ' + pot}, 'Why'); }

function row(line, told, extra) {
  const about = (shown.pots[line.pot] || {}).trees;
  return h('li', {class: told ? 'line answered' : 'line', id: 'line-' + line.pot, tabindex: '-1'},
    tag(line.pot),
    h('div.what',
      h('h3', h('span.unseen', 'Pot ' + line.pot + ': '), h('span.litres', amount('l', line.pour_l)), ' ',
        !told && h('span.how', howMuch(line))),
      h('p.name', [line.label, about].filter(Boolean).join(', ')),
      !told && !shown.list.visit && h('p.needs', needs(line)),
      !told && besides(line), extra),
    whyLink(line.pot),
    told ? doneLine(line, told, opens(line)) : ticks() && h('div.boxes', boxes(line), opens(line)), more(line));
}

// A pot that was answered and that a newer list no longer names.
function gone(pot, told) {
  return h('li.line.answered', {id: 'line-' + pot, tabindex: '-1'}, tag(pot),
    h('div.what', h('h3.unseen', 'Pot ' + pot), h('p.name', (shown.pots[pot] || {}).trees || '')), doneLine({pot}, told));
}

function toldOf(line, answers) { return answers.pots[line.pot] || answers.whole; }

function byBay(answers) {
  const parts = [];
  let bay = null, rows = null;
  shown.list.pours.slice().sort((a, b) => a.order - b.order).forEach(line => {
    if (line.bay !== bay) {
      bay = line.bay;
      rows = h('ol.lines');
      parts.push(h('h2.bay', bay), rows);
    }
    rows.appendChild(row(line, toldOf(line, answers)));
  });
  const listed = shown.list.pours.map(p => p.pot);
  const others = Object.keys(answers.pots).filter(pot => listed.indexOf(pot) < 0);
  if (others.length) parts.push(h('h2.bay', 'Done before this list'), h('ol.lines', others.map(pot => gone(pot, answers.pots[pot]))));
  return parts;
}

function byCan(answers) {
  const lines = {}, parts = [];
  shown.list.pours.forEach(p => { lines[p.pot] = p; });
  const last = {}, carried = {};
  let can = 0;
  shown.list.trips.forEach((trip, t) => trip.cans.forEach((c, i) => c.pours.forEach(p => {
    last[p.pot] = t + '.' + i;
    carried[p.pot] = (carried[p.pot] || 0) + p.l;
  })));
  shown.list.trips.forEach((trip, t) => {
    parts.push(h('h2.bay', 'Trip ' + (t + 1) + ', from ' + trip.tap));
    trip.cans.forEach((c, i) => {
      can += 1;
      parts.push(h('section.can', h('h3', 'Can ' + can + ': fill ' + amount('l', c.can_l)), h('ul', c.pours.map(p => canLine(p,
        last[p.pot] === t + '.' + i && lines[p.pot] ? Object.assign({}, lines[p.pot], {passes: 1, pour_l: carried[p.pot]}) : null, toldOf(lines[p.pot] || p, answers))))));
    });
  });
  return parts;
}

// What one can brings a pot. The last can brings the boxes too, for all litres that were carried to it.
function canLine(pour, line, told) {
  return h('li', {class: told ? 'answered' : ''}, tag(pour.pot),
    h('div.what', h('span.unseen', 'Pot ' + pour.pot + ': '), h('b.litres', amount('l', pour.l)), pour.pass > 1 ? ' second pass' : '',
      line && !told && line.until === 'run-through' ? h('span.how', ' or until it runs through') : ''),
    told && line ? doneLine(line, told) : line ? ticks() && h('div.boxes', boxes(line)) : !told && h('p.needs', 'more of it comes from a later can'));
}

function question() {
  const asked = shown.list.question;
  if (!asked) return null;
  const waits = take('outbox', []).some(i => i.about.kind === 'round' && i.about.round === asked.round && !i.refused);
  const answer = (word, words) => h('button.plain', {onclick: calmly(() => {
    add('entries', {words: ['round', asked.round, word]}, {kind: 'round', round: asked.round, told: {action: 'round', poured: word}, words: 'round ' + asked.round + ': ' + word, asked: true});
    say('Written down.');
    redraw();
  })}, words);
  const name = h('h2', {id: 'asked'}, asked.text);
  if (waits) return h('section.asked', {'aria-labelledby': 'asked'}, name, h('p', 'Answered; not sent yet.'));
  return h('section.asked', {'aria-labelledby': 'asked'}, name,
    asked.feel_first.length > 0 && h('p', 'Feel these first: ', asked.feel_first.join(', ') + '.'),
    h('div.boxes', answer('all', 'All'), answer('some', 'Some'), answer('none', 'None')));
}

function rests() {
  const found = shown.list.no_water;
  if (!found.length) return h('p', 'No pot rests today.');
  return h('ul.rests', found.map(r => h('li', tag(r.pot),
    h('p', h('b', r.next_day ? 'until ' + (r.next_day === shown.list.day ? 'this evening' : near(r.next_day, shown.list.day)) : 'not within ten days'), ' ',
      (shown.pots[r.pot] || {}).trees || '', h('br'), h('small', amount('l', r.depletion_l) + ' gone of ' + amount('l', r.available_l))),
    whyLink(r.pot))));
}

function wideRanges() {
  const by = {};
  shown.list.pours.forEach(line => reasons(line, ['range']).forEach(b => {
    if (b.code !== 'uncalibrated') (by[b.text] = by[b.text] || []).push(line.pot);
  }));
  const texts = Object.keys(by);
  const untested = shown.list.pours.map(line => line.because.find(b => b.code === 'uncalibrated')).find(b => b);
  if (!texts.length && !untested) return null;
  return h('details.fold', h('summary', 'Why the ranges are wide'),
    h('ul', texts.map(text => h('li', h('b', by[text].join(', ')), ': ', sentence(text) + '.')),
      untested && h('li', sentence(untested.text) + '.')));
}

const grave = {danger: 'Danger', warning: 'Warning', note: 'Note'};
function notices() {
  return shown.list.notices.map(n => h('p', {class: 'notice ' + (grave[n.severity] ? n.severity : 'note')}, h('b', (grave[n.severity] || 'Note') + '. '), sentence(n.text)));
}

function counted(answers) {
  const list = shown.list, lines = list.pours.length;
  const open_lines = list.pours.filter(l => !toldOf(l, answers));
  const extra = Object.keys(answers.pots).filter(pot => !list.pours.some(l => l.pot === pot)).length;
  const trips = list.trips.length + (list.trips.length === 1 ? ' trip' : ' trips');
  if (!lines && !extra) return h('p.sum', 'No pot needs water on this walk.');
  return [h('p.sum', amount('l', list.total_l) + ' for ' + lines + (lines === 1 ? ' pot' : ' pots') + ', ' + trips + '.'),
    h('p.left', open_lines.length ? (lines + extra - open_lines.length) + ' of ' + (lines + extra) + ' done'
      : 'All done.')];
}

function theRest(answers) {
  const left = shown.list.pours.filter(l => !toldOf(l, answers));
  if (answers.whole) return h('div.rest', h('p', 'This walk: ' + answerWords(answers.whole) + (answers.whole.waits ? ', not sent yet' : '') + '.'),
    h('button.quiet', {onclick: calmly(() => undo({pot: ''}, answers.whole))}, 'Take back'));
  if (!left.length) return null;
  return h('div.rest', h('button.plain', {onclick: calmly(() => {
    add('entries', {words: ['round', shown.list.id, 'all']}, {kind: 'round', round: shown.list.id, told: {action: 'round', poured: 'all'}, words: 'round ' + shown.list.id + ': all'});
    say('Written down.');
    redraw();
  })}, left.length === shown.list.pours.length ? 'All poured as listed' : 'All others poured as listed'));
}

function order() {
  const way = take('order', 'walk');
  const choice = (value, words) => h('button', {'aria-pressed': String(way === value), id: 'order-' + value,
    onclick: () => { keep('order', value); redraw(null, 'order-' + value); }}, words);
  return h('div.choice', {role: 'group', 'aria-label': 'Order of the list'}, choice('walk', 'Pot by pot'), choice('can', 'Can by can'));
}

// For somebody who comes by while the gardener is away: today's visit and nothing else.
function drawVisit(main) {
  const list = shown.list, v = list.visit, answers = answersFor(list, shown.daybook), from = list.day;
  put(main, h('h1', longDate(from)), asOf(shown.as_of),
    !v.due && h('p.sum', v.day ? (v.day === from ? 'No visit is needed now. The next is this evening, ' : 'No visit is needed today. The next is ' + (near(v.day, from) === 'tomorrow' ? 'tomorrow' : 'on ' + longDate(v.day)) + (v.walk === 'evening' ? ' in the evening, ' : ', ')) + amount('big_l', v.total_l) + ' at most.' : 'No visit is needed any more.'),
    v.due && counted(answers), v.later.length > 0 && h('p', 'Visits after that: ' + v.later_visits.map(walkDate).join(', ') + '.'), notices(),
    !v.due && list.pours.length > 0 && h('p', 'Not now: what that visit pours, as it looks today.'),
    list.pours.length > 0 && order(), take('order', 'walk') === 'can' && list.trips.length ? byCan(answers) : byBay(answers),
    v.due && v.rests.length > 0 && h('p', h('b', 'No water: '), v.rests.map(r => r.label || r.pot).join(', ') + '.'),
    v.remarks.map(r => h('p.needs', sentence(r))), v.due && h('p', h('a.button', {href: 'sheet#visit/' + v.to}, 'Sheet for paper')));
}

function draw(main) {
  const list = shown.list, answers = answersFor(list, shown.daybook);
  if (list.visit) return void drawVisit(main);
  put(main,
    h('h1', longDate(list.day), h('span.walk', ', ' + list.walk)),
    h('p.place', list.site), asOf(shown.as_of),
    question(), counted(answers), notices(),
    list.pours.length > 0 && order(),
    take('order', 'walk') === 'can' && list.trips.length ? byCan(answers) : byBay(answers),
    theRest(answers), jobs(list, shown.actions, at => redraw(null, at)),
    h('h2.bay', 'No water now'), rests(), wideRanges(),
    h('p.foot', 'Evaporation expected today (ET0) ' + amount('mm', list.et0_mm) + '; ' + (list.rain_mm > 0 ? amount('mm', list.rain_mm) + ' of rain since the last round' : list.notices.some(n => n.code === 'readings-old') ? 'rain since the last round is not known' : 'no rain since the last round') +
      '. Weather from ' + list.weather_from + '. Round ' + list.id + ', issued ' + nearTime(list.issued, list.day) + '.'),
    h('p', h('a.button', {href: 'sheet.html'}, 'Sheet for paper')));
}

let drawnIn = null, helps = false;
function here() { return helps ? !/^#\/phone/.test(location.hash) : /^(#\/?(walk)?)?$/.test(location.hash); }
// Draws again; the keyboard stays where it was: on the named element, or on the pot's line.
function redraw(pot, focus) {
  if (!drawnIn || !document.body.contains(drawnIn) || !here()) return;
  const before = document.activeElement && drawnIn.contains(document.activeElement) ? document.activeElement.id : null;
  const typing = document.activeElement && /^(INPUT|TEXTAREA|SELECT)$/.test(document.activeElement.tagName);
  if (typing && !pot && !focus) return;
  draw(drawnIn);
  const wanted = document.getElementById(focus || (pot ? 'line-' + pot : before || ''));
  if (wanted) wanted.focus({preventScroll: true});
}

onChange(event => {
  if (!shown) return;
  if (event.sent && event.answer && event.answer.entries) join(shown.daybook, event.answer.entries);
  if (event.sent && event.sent.about.asked) return void load().then(() => redraw());
  redraw();
});

async function load() {
  const list = await read('round');
  const daybook = await read('daybook?from=' + list.answer.day);
  const pots = await read('pots');
  const words = list.answer.jobs.length ? (await read('words')).answer : {actions: []};
  shown = {list: list.answer, daybook: daybook.answer, pots: byId(pots.answer), actions: words.actions, as_of: list.as_of};
}

function byId(answer) {
  const named = {};
  answer.pots.forEach(p => { named[p.id] = p; });
  return named;
}

// A visit has the shape of a list, so that it is ticked off like one.
export function asList(v, day) {
  const pours = v.pours.map((p, i) => Object.assign({order: i, low_l: p.need_low_l, high_l: p.need_high_l, because: []}, p));
  return {visit: v, id: 'visit-' + day, day, walk: 'visit', site: '', issued: day + 'T00:00:00', pours, trips: v.trips, no_water: [], jobs: [],
          notices: v.cautions.map(text => ({severity: 'warning', text})), question: null, total_l: v.total_l};
}

// A helper's token ends with the day of the return, so the last day away is the one before; on the return itself, that day.
async function readVisit(until) {
  const back = shifted(dayOf(until), /T00:00/.test(until) ? -1 : 0);
  try {
    return await read('visit?to=' + shifted(back, -1));
  } catch (trouble) {
    if (trouble.kind !== 'refused') throw trouble;
    return read('visit?to=' + back);
  }
}

export async function showVisit(main, until, name) {
  drawnIn = main;
  helps = true;
  const got = await readVisit(until), list = asList(got.answer, dayOf(got.answer.at));
  const daybook = await read('daybook?from=' + list.day), pots = await read('pots');
  shown = {list, daybook: daybook.answer, pots: byId(pots.answer), actions: [], as_of: got.as_of, name};
  if (here()) draw(main);
}

export async function showWalk(main) {
  drawnIn = main;
  if (shown) draw(main);
  await load();
  if (!here()) return;
  const before = document.activeElement && main.contains(document.activeElement) ? document.activeElement.id : '';
  draw(main);
  if (before && document.getElementById(before)) document.getElementById(before).focus({preventScroll: true});
}
