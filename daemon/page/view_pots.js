// All pots; one pot with its water, its facts and where each comes from; a new pot.
import {h, put, svg, field, select, opener, say} from './dom.js';
import {read} from './server.js';
import {add, onChange} from './outbox.js';
import {clock, dayOf, daysBetween, fullDate, nearTime, shifted, shortDate} from './days.js';
import {amount, forServer, number, plain, range, sentence, turned, typed, unit} from './units.js';
import {band, figure, frame, line, scaleEnd} from './plot.js';
import {asOf, linkTo, table, tag} from './parts.js';
import {plainFact, plainKey, rowOf, tellable, valueControl} from './facts.js';
import {form, wrong} from './pencil.js';

let drawn = null;  // {main, id} of the pot shown now

function potRow(pot) {
  return h('li', {class: pot.retired ? 'entry struck' : 'entry'}, tag(pot.id),
    h('a.what.row', {href: linkTo('pots', pot.id)}, h('b', pot.label || 'Pot ' + pot.id), h('br'), pot.trees || 'no tree', h('br'),
      h('small', amount('big_l', pot.size_l) + ', ' + pot.bay + (pot.retired ? ', gone since ' + fullDate(pot.retired) : ''))));
}

export async function showPots(main) {
  drawn = null;
  const got = await read('pots');
  const words = await wordsOr();
  const adding = opener('Add a pot', {class: 'plain'}, () => newPot(words, got.answer.pots));
  put(main, h('h1', 'Pots'), asOf(got.as_of), h('p.sum', got.answer.pots.length + (got.answer.pots.length === 1 ? ' pot, ' : ' pots, ') + 'in walking order.'),
    h('ul.lines', got.answer.pots.map(potRow)), adding.button, adding.inside,
    h('p', h('a.button', {href: 'labels'}, 'Labels to print')));
}

// The words that facts may take; without them every fact is written freely.
async function wordsOr() {
  try { return (await read('words')).answer; } catch (trouble) { return {facts: []}; }
}

function choices(words, key) {
  const row = words.facts.filter(f => f.key === key)[0];
  return row ? row.words : [];
}

function newPot(words, pots) {
  const id = h('input', {maxlength: 24, size: 8});
  const size = h('input', {inputmode: 'decimal', size: 6});
  const planted = h('input', {type: 'date'});
  const list = (key, first) => select({}, (first ? [['', first]] : []).concat(choices(words, key).map(w => [w, w])));
  const bay = list('bay'), species = list('tree.*.species'), stock = list('tree.*.rootstock', 'not known'), vigour = list('tree.*.vigour', 'not known');
  const send = () => {
    const litres = typed('big_l', size.value);
    // As the command line takes it: letters of any script, 24 bytes in UTF-8.
    if (!/^[A-Za-z0-9\u0080-\uffff][\w\u0080-\uffff-]*$/.test(id.value.trim()) || new TextEncoder().encode(id.value.trim()).length > 24)
      return wrong(id, 'Up to 24 letters, digits, - or _. Right would be: 12 or lemon.');
    if (pots.some(p => p.id === id.value.trim())) return wrong(id, 'There is a pot ' + id.value.trim() + ' already.');
    if (litres === null) return wrong(size, 'Not an amount in ' + unit('big_l') + '. Right would be: 40.');
    if (!planted.value) return wrong(planted, 'A day is needed; about is good enough.');
    const facts = ['container.size=' + forServer('big_l', litres), 'bay=' + bay.value, 'tree.a.species=' + species.value, 'tree.a.planted=' + planted.value]
      .concat(stock.value || !vigour.value ? 'tree.a.rootstock=' + (stock.value || 'unknown') : 'tree.a.vigour=' + vigour.value);
    add('pots', {id: id.value.trim(), facts}, {kind: 'pot', pot: id.value.trim(), words: 'new pot ' + id.value.trim()});
    say('Pot ' + id.value.trim() + ' written down.');
    location.hash = '#/pots/' + encodeURIComponent(id.value.trim());
  };
  return h('div.pencil', form([field('Number or name on its label', id), field('Size, ' + unit('big_l') + ' as on the rim', size), field('Bay', bay),
    field('Species', species), field('Rootstock', stock), field('or how dwarfing', vigour), field('Planted', planted), h('button', {type: 'submit', class: 'plain'}, 'Add the pot'),
    h('p.needs', 'All else is taken as usual, with a wide range. Say more later and the ranges narrow.')], send));
}

function whereFrom(fact) {
  if (fact.from === 'stated') return 'written' + (fact.since ? ', holds since ' + fullDate(fact.since) : '') + (fact.entry ? ', entry ' + fact.entry : '');
  return (fact.from === 'computed' ? 'worked out' : 'never told, taken as usual') + (fact.source ? '; source: ' + fact.source : '');
}

function changeForm(pot, words, key, value) {
  const row = rowOf(words, key);
  const control = valueControl(row, value), since = h('input', {type: 'date'});
  const send = () => {
    if (!control.value.trim()) return wrong(control, 'Nothing is written there.' + (row && row.example ? ' Right would be: ' + row.example + '.' : ''));
    const fact = key + '=' + control.value.trim();
    add('pots/' + encodeURIComponent(pot.id) + '/change', Object.assign({facts: [fact]}, since.value ? {since: since.value} : {}), {kind: 'pot', pot: pot.id, words: 'pot ' + pot.id + ', ' + plainFact(fact)});
    say('Written down.');
  };
  return h('div.pencil', form([field(plainKey(key) + (row && row.example ? ', such as ' + row.example : ''), control), field('Holds since (empty: today)', since),
    h('button', {type: 'submit'}, 'Write down')], send));
}

function factRow(pot, words, fact) {
  const open = fact.from === 'stated' ? opener('Change', {class: 'quiet', 'aria-label': 'Change ' + plainKey(fact.key)}, () => changeForm(pot, words, fact.key, fact.value)) : null;
  return h('li.entry.fact', h('div.what', h('p', fact.from === 'stated' ? [h('span.about', plainKey(fact.key)), h('b', sentence(fact.value))] : sentence(fact.value)),
    h('small', whereFrom(fact))), open && open.button, open && open.inside);
}

function oneMore(pot, words) {
  const told = pot.facts.map(f => f.key);
  const rows = tellable(words).filter(f => told.indexOf(f.real) < 0);
  const place = h('div');
  const pick = select({onchange: e => put(place, e.target.value ? changeForm(pot, words, e.target.value, '') : null)},
    [['', 'choose']].concat(rows.map(f => [f.real, plainKey(f.real) + ' (' + f.help + ')'])));
  return h('div.pencil', field('What is known now', pick), place);
}

function retire(pot) {
  const because = h('input', {maxlength: 200});
  return h('div.pencil', form([field('Why it goes: given away, planted out, dead', because), h('button', {type: 'submit', class: 'plain'}, 'Pot ' + pot.id + ' is gone')], () => {
    add('pots/' + encodeURIComponent(pot.id) + '/retire', because.value.trim() ? {because: because.value.trim()} : {}, {kind: 'pot', pot: pot.id, words: 'pot ' + pot.id + ' is gone'});
    say('Written down.');
    location.hash = '#/pots';
  }));
}

function waterNow(pot, today) {
  const water = pot.water;
  if (!water) return h('p', 'Without weather its water cannot be told.');
  return h('p.sum', 'Needs ' + range('l', water.depletion_low_l, water.depletion_high_l) + '; when full it holds about ' + amount('l', water.available_l) + ' for the tree; ' +
    (water.dry_at ? 'dry ' + nearTime(water.dry_at, today) + ' without water.' : 'not dry within ten days.'));
}

const how_known = {told: 'written down', answered: 'answered with the round', silent: 'listed, nobody said'};

// To the right, downwards: what a bar of rain is long for.
function rainScale(f, most, share) {
  const x = f.width - f.right, end = f.top + (f.height - f.top - f.bottom) * share, tick = f.em * 0.3;
  const words = (text, y) => svg('text', {x: x + tick * 1.5, y}, text);
  return svg('g', {class: 'of-rain'}, svg('path', {class: 'axis', fill: 'none', d: 'M' + (x + tick) + ' ' + f.top + 'H' + x + 'V' + end + 'h' + tick}),
    words(unit('mm'), f.em), words('0', f.top + f.em * 0.35), words(plain(most, 2), end + f.em * 0.35));
}

// Water in the pot: what is left of what the tree can take, with its range; pours below, rain from above.
function plotWater(series, width) {
  const start = Date.parse(series.points[0].at), t = time => (Date.parse(time) - start) / 86400000;
  const points = series.points.map(p => [t(p.at), turned('l', Math.max(0, p.available_l - p.depletion_high_l)), turned('l', Math.max(0, p.available_l - p.depletion_low_l)), turned('l', p.available_l - p.depletion_l), turned('l', p.available_l)]);
  const top = Math.max(...points.map(p => p[4])), last = points[points.length - 1][0];
  const first = series.points[0].at, begun = (Number(first.slice(11, 13)) + Number(first.slice(14, 16)) / 60) / 24;
  const days = series.rain.map(r => ({at: Math.max(0, daysBetween(dayOf(first), r.day) - begun), words: shortDate(r.day), rain_mm: r.rain_mm}));
  const most_rain = scaleEnd(Math.max(...days.map(d => turned('mm', d.rain_mm)).concat(turned('mm', 20)))), rain_share = 0.18;
  return frame({width, from: 0, to: Math.max(last, 0.5), low: 0, high: top * 1.25, unit: unit('l'), days, right: 2.6},
    f => [days.filter(d => d.rain_mm > 0).map(d => svg('rect', {class: 'rain', x: f.x(d.at), width: Math.max(1, Math.min(f.x(1) - f.x(0) - 2, f.width - f.right - f.x(d.at))), y: f.top, height: turned('mm', d.rain_mm) / most_rain * (f.height - f.top - f.bottom) * rain_share})),
      rainScale(f, most_rain, rain_share),
      band(points, f.x, f.y), line(points.map(p => [p[0], p[4]]), f.x, f.y, 'full'), line(points.map(p => [p[0], p[3]]), f.x, f.y, 'middle'),
      series.pours.map(p => { const x = f.x(t(p.at)), y = f.y(0), e = f.em * 0.45; return svg('path', {class: p.known === 'silent' ? 'pour silent' : 'pour', d: 'M' + x + ' ' + (y - e * 2.6) + 'l' + e + ' ' + e * 2.4 + 'h' + -2 * e + 'z'}); })]);
}

function waterTable(series) {
  const nights = series.points.filter((p, i) => clock(p.at) < '03:00' || i === series.points.length - 1);
  return [table('Water left for the tree, pot ' + series.pot, ['At', 'Likely, ' + unit('l'), 'Range', 'Can hold, ' + unit('l')],
    nights.map(p => [shortDate(dayOf(p.at)) + ' ' + clock(p.at), number('l', Math.max(0, p.available_l - p.depletion_l)), range('l', Math.max(0, p.available_l - p.depletion_high_l), Math.max(0, p.available_l - p.depletion_low_l)), number('l', p.available_l)])),
  table('Pours, pot ' + series.pot, ['At', 'Litres', 'Known from'].map((w, i) => (i === 1 ? unit('l') : w)), series.pours.map(p => [shortDate(dayOf(p.at)) + ' ' + clock(p.at), number('l', p.pour_l), how_known[p.known] || p.known])),
  table('Rain', ['Day', unit('mm')], series.rain.filter(r => r.rain_mm > 0).map(r => [shortDate(r.day), number('mm', r.rain_mm)]))];
}

async function waterPlot(pot, today) {
  try {
    const series = (await read('water/' + encodeURIComponent(pot.id) + '?from=' + shifted(today, -13))).answer;
    if (series.points.length < 2) return null;
    return figure('Water in the pot', 'What is left for the tree: the line is likely, the band holds eight of ten possibilities, the dotted line is a full pot. Wedges: pours, hollow where nobody said so. Bars from above: rain, by the scale to the right.',
      width => plotWater(series, width), () => waterTable(series));
  } catch (trouble) {
    if (trouble.kind === 'stranger') throw trouble;
    return h('p.needs', 'The course of its water cannot be shown now.');
  }
}

export async function showPot(main, id) {
  drawn = {main, id};
  const today = (await read('round')).answer.day;
  const got = await read('pots/' + encodeURIComponent(id)), pot = got.answer, words = await wordsOr();
  const plot = await waterPlot(pot, today);
  if (!drawn || drawn.id !== id || location.hash !== linkTo('pots', id)) return;
  const more = opener('Say more about it', {class: 'plain'}, () => oneMore(pot, words));
  const end = opener('This pot is gone', {class: 'quiet'}, () => retire(pot));
  const stated = pot.facts.filter(f => f.from === 'stated'), other = pot.facts.filter(f => f.from !== 'stated');
  put(main, h('h1', tag(pot.id), ' ' + (pot.label || 'Pot ' + pot.id)), asOf(got.as_of),
    h('p.place', [pot.trees, amount('big_l', pot.size_l), pot.medium_name, pot.bay].filter(Boolean).join(', ')),
    waterNow(pot, today), h('p', h('a.button', {href: linkTo('why', pot.id)}, 'Why this much'), h('a.button', {href: linkTo('year', pot.id)}, 'The year'),
      h('a.button', {href: linkTo('compare', pot.id)}, 'What would a change do')), plot,
    h('h2.bay', 'What is known'), h('ul.lines', stated.map(f => factRow(pot, words, f))),
    other.length > 0 && [h('h2.bay', 'What is guessed'), h('ul.lines', other.map(f => factRow(pot, words, f)))],
    h('p', more.button), more.inside, !pot.retired && [h('p', end.button), end.inside]);
}

onChange(event => {
  if (!event.sent || event.sent.about.kind !== 'pot') return;
  if (drawn && drawn.id === event.sent.about.pot && location.hash.indexOf('#/pots/') === 0) showPot(drawn.main, drawn.id);
});
