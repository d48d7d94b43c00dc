// The days ahead: heat and what helps, when each pot runs dry, the water that the walks need, weather; everything with its range.
import {h, put, svg, select} from './dom.js';
import {read} from './server.js';
import {date, daysAfter, longDate, nearTime, shortDate, weekday} from './days.js';
import {amount, number, plain, range, sentence, turned, unit} from './units.js';
import {band, bar, dayMarks, figure, frame, line, ranges, whisker} from './plot.js';
import {asOf, table} from './parts.js';

export function nameOf(pot) { return pot.label || pot.pot; }
function titled(pot) { return pot.label || 'Pot ' + pot.pot; }
export function inTen(share) { return Math.round(10 * share) + ' in 10'; }
// "2.5 L (1.9 to 3.4)"
export function ranged(kind, o, key, suffix) {
  const told = part => { const v = turned(kind, o[key + part + suffix]); return plain(v, Math.abs(v) >= 20 ? 0 : 1); }, low = told('_low_'), high = told('_high_');
  return told('_') + '\u00a0' + unit(kind) + (low === high ? '' : ' (' + low + ' to ' + high + ')');
}
export function litresKind(o, key) { return o[key + '_high_l'] >= 20 ? 'big_l' : 'l'; }
export function litres(o, key) { return ranged(litresKind(o, key), o, key, 'l'); }
export function cares(answer) {
  return [answer.cautions.map(c => h('p.notice.warning', h('b', 'Care. '), sentence(c))), answer.remarks.map(r => h('p.needs', sentence(r)))];
}

export function stocks(list) {
  return list.map(s => h('p', h('b', s.tap), ' holds ' + amount('big_l', s.holds_l) + ', needed ' + litres(s, 'needed') +
    (s.enough ? ': enough.' : (s.lasts_until ? ': surely enough until ' + longDate(s.lasts_until) + ' only.' : ': may not be enough.') +
      (s.instead ? ' The rest comes from ' + s.instead + '.' : ' Up to ' + amount('big_l', Math.ceil(s.lacking_l)) + ' must be brought.'))));
}

// Hours, where null is longer than can be seen.
function hours(h) { return h === null ? 'longer than seen' : Math.round(h) + '\u00a0h'; }
const kept_words = {'one-filling': 'lasts on one filling', 'two-walks': 'needs a second walk', 'perhaps-two-walks': 'a second walk may not be enough', 'not-by-hand': 'a second walk is hardly enough'};
const roots = {low: '', raised: 'roots: some risk of heat', high: 'roots: high risk of heat'};
function heatPot(pot) {
  const best = pot.helps[0];
  return h('details.fold', h('summary', titled(pot) + ': ' + (kept_words[pot.kept] || pot.kept) + (best ? '; ' + sentence(best.text) : '')),
    h('p', 'Filled on the hottest morning it lasts ' + hours(pot.lasts_h) + ' (' + hours(pot.lasts_low_h) + ' to ' + hours(pot.lasts_high_h) + '), surely ' + hours(pot.lasts_surely_h) + '; uses ' + litres(pot, 'use') + ' that day' + (roots[pot.root_heat] ? '; ' + roots[pot.root_heat] : '') + '.'),
    best ? h('ul.because', pot.helps.map(one => h('li', sentence(one.text)))) : h('p.needs', 'Nothing that was worked out gains an hour.'));
}

function heat(episode) {
  const pots = episode.pots.filter(p => p.kept !== 'one-filling'), rest = episode.pots.length - pots.length;
  return h('section', h('h2.bay', 'Heat'), h('p.notice.warning', h('b', 'Heat. '), sentence(episode.text) + '. Hottest on ' + longDate(episode.hottest) + '.'),
    pots.map(heatPot), rest > 0 && h('p.needs', rest + (rest === 1 ? ' pot lasts' : ' pots last') + ' that day on one filling.'));
}

function dryRow(pot, from) {
  const at = time => (time ? daysAfter(from, time) : null);
  return {words: pot.pot.slice(0, 9), spans: [{low: at(pot.dry_early_at), middle: at(pot.dry_at), high: at(pot.dry_late_at), full: true}]};
}

function dryPlot(a) {
  const when = (time, otherwise) => (time ? nearTime(time, a.from) : otherwise);
  return figure('When each pot runs dry without water', 'The block is likely, the line holds eight of ten possibilities; an arrow goes on beyond these days.',
    width => ranges({width, from: 0, to: a.days.length, marks: dayMarks(a.days)}, a.pots.map(p => dryRow(p, a.from))),
    () => table('When each pot runs dry without water', ['Pot', 'At the earliest', 'Likely', 'At the latest'],
      a.pots.map(p => [nameOf(p), when(p.dry_early_at, 'not seen'), when(p.dry_at, 'not seen'), when(p.dry_late_at, 'not seen')])));
}

// A bar a walk with its range, at the hour of the walk.
function walksPlot(a, width) {
  const kind = a.walks.some(w => w.total_high_l >= 20) ? 'big_l' : 'l', t = v => turned(kind, v), most = Math.max(...a.walks.map(w => t(w.total_high_l)));
  return frame({width, from: 0, to: a.days.length, low: 0, high: most * 1.1, unit: unit(kind), days: dayMarks(a.days)},
    f => a.walks.map(w => {
      const at = daysAfter(a.from, w.at);
      return svg('g', {class: 'bars'}, bar(f, at - 0.16, 0.32, t(w.total_l), 'et0'), whisker(f, f.x(at), t(w.total_low_l), t(w.total_high_l)));
    }));
}

function walkName(w) { return weekday(w.day).slice(0, 3) + ' ' + shortDate(w.day) + (w.walk === 'morning' ? '' : ', ' + w.walk); }
function walks(a) {
  if (!a.walks.length) return h('section', h('h2.bay', 'Walks to plan'), h('p', 'None in these days.'));
  return [figure('Water that the walks need', 'A bar a walk is what it likely takes; the line through it holds eight of ten possibilities. All of them: ' + litres(a, 'total') + '.', width => walksPlot(a, width),
    () => [table('Walks to plan', ['Walk', 'Likely', 'Range', 'Most'], a.walks.map(w => [walkName(w), amount(litresKind(w, 'total'), w.total_l),
      range(litresKind(w, 'total'), w.total_low_l, w.total_high_l), amount('big_l', w.total_most_l)])),
    h('p.needs', 'Likely until it runs through; in brackets the most, where to stop in any case. Each list decides anew.'),
    h('ul.because', a.walks.map(w => h('li', h('b', walkName(w)), (w.listed ? ', as on its list: ' : ': ') + w.pours.map(p => nameOf(p) + ':\u00a0' + amount('l', p.pour_l) + '\u00a0(' + number('l', p.most_l) + ')').join(', '))))]), stocks(a.stocks)];
}

function hottest(a, width) {
  const all = a.days.map(d => [turned('degC', d.max_low_degC), turned('degC', d.max_degC), turned('degC', d.max_high_degC)]);
  return frame({width, from: 0, to: all.length, low: Math.floor(Math.min(...all.map(d => d[0])) / 5) * 5, high: Math.ceil(Math.max(...all.map(d => d[2])) / 5) * 5, decimals: 0, unit: unit('degC'),
                days: dayMarks(a.days)},
    f => all.map((d, i) => svg('g', {class: a.days[i].from === 'usual' ? 'guessed' : ''}, whisker(f, f.x(i + 0.5), d[0], d[2]), svg('circle', {class: 'pour', cx: f.x(i + 0.5), cy: f.y(d[1]), r: f.em * 0.3}))));
}

function water(a, width) {
  const t = v => turned('mm', v), most = Math.max(...a.days.map(d => Math.max(t(d.et0_high_mm), t(d.rain_high_mm))).concat(t(4)));
  return frame({width, from: 0, to: a.days.length, low: 0, high: most * 1.05, decimals: 2, unit: unit('mm'), days: dayMarks(a.days)},
    f => a.days.map((d, i) => svg('g', {class: d.from === 'usual' ? 'bars ranged guessed' : 'bars ranged'}, ['et0', 'rain'].map((key, k) => [bar(f, i + 0.14 + 0.37 * k, 0.35, t(d[key + '_mm']), key),
      whisker(f, f.x(i + 0.315 + 0.37 * k), t(d[key + '_low_mm']), t(d[key + '_high_mm']))]))));
}

const from_words = {forecast: 'forecast', usual: 'usual values', readings: 'readings'};
function weather(a) {
  const rows = (kind, key, suffix) => a.days.map(d => [shortDate(d.day), amount(kind, d[key + '_' + suffix]), range(kind, d[key + '_low_' + suffix], d[key + '_high_' + suffix]), from_words[d.from] || d.from]);
  const heads = ['Day', 'Likely', 'Range', 'From'];
  return [figure('Highest temperatures', 'The dot is likely, the line holds eight of ten possibilities. Dashed: usual values, since nobody forecasts that day.', width => hottest(a, width), () => table('Highest temperature by day', heads, rows('degC', 'max', 'degC'))),
    figure('Evaporation and rain', 'Open bars: ET0. Filled bars: rain. Lines: their ranges. Dashed: usual values.', width => water(a, width), () => [table('ET0 by day', heads, rows('mm', 'et0', 'mm')), table('Rain by day', heads, rows('mm', 'rain', 'mm'))])];
}

// One pot's days: what it uses, with its range, and rain's help; and its chances to run dry.
function usePlot(pot, width) {
  const t = v => turned('l', v), most = Math.max(...pot.days.map(d => Math.max(t(d.demand_high_l), t(d.rain_high_l))));
  return frame({width, from: 0, to: pot.days.length, low: 0, high: most * 1.1 || 1, decimals: 2, unit: unit('l'), days: dayMarks(pot.days)},
    f => [band(pot.days.map((d, i) => [i + 0.5, t(d.demand_low_l), t(d.demand_high_l)]), f.x, f.y), line(pot.days.map((d, i) => [i + 0.5, t(d.demand_l)]), f.x, f.y, 'middle'),
      pot.days.map((d, i) => d.rain_high_l > 0.005 && svg('g', {class: 'bars ranged'}, bar(f, i + 0.35, 0.3, t(d.rain_l), 'rain'), whisker(f, f.x(i + 0.5), t(d.rain_low_l), t(d.rain_high_l))))]);
}

function chancePlot(pot, width) {
  return frame({width, from: 0, to: pot.days.length, low: 0, high: 10, decimals: 0, unit: 'in 10', days: dayMarks(pot.days)},
    f => pot.days.map((d, i) => svg('g', {class: 'bars'}, bar(f, i + 0.12, 0.37, 10 * d.dry_share, 'et0'), bar(f, i + 0.51, 0.37, 10 * d.dry_planned_share, 'rain'))));
}

function onePot(pot) {
  const name = pot.label || 'pot ' + pot.pot;
  return [figure('What ' + name + ' uses', 'The line is likely, the band holds eight of ten possibilities. Filled bars: rain that reaches it. To pour in these days: ' + litres(pot, 'total') + '.', width => usePlot(pot, width),
    () => table('Use of ' + name + ' by day', ['Day', 'Uses', 'Range', 'Rain brings'], pot.days.map(d => [shortDate(d.day), amount('l', d.demand_l), range('l', d.demand_low_l, d.demand_high_l), amount('l', d.rain_l)]))),
  figure('Whether ' + name + ' runs dry', 'Open bars: it has run dry by that day if nobody waters. Filled bars: it is dry at some hour of the day although the walks are done.', width => chancePlot(pot, width),
    () => table('Chances of ' + name + ' to run dry', ['Day', 'By then, without water', 'That day, watered'], pot.days.map(d => [shortDate(d.day), inTen(d.dry_share), inTen(d.dry_planned_share)])))];
}

export async function showAhead(main) {
  const got = await read('ahead'), a = got.answer, last = a.days[a.days.length - 1].day, place = h('div');
  const show = id => put(place, onePot(a.pots.filter(p => p.pot === id)[0]));
  const pick = select({id: 'pot-ahead', onchange: event => show(event.target.value)}, a.pots.map(p => [p.pot, p.label ? p.pot + ', ' + p.label : 'Pot ' + p.pot]));
  put(main, h('h1', 'Days ahead'), asOf(got.as_of),
    h('p.sum', (a.walks.length ? litres(a, 'total') + ' on ' + a.walks.length + (a.walks.length === 1 ? ' walk' : ' walks') : 'No walk needed') + ' until ' + weekday(last) + ' ' + date(last) + '.'),
    h('p', 'Weather: ' + a.weather_from + '.'),
    h('p', h('a.button', {href: '#/away'}, 'Being away'), h('a.button', {href: '#/record'}, 'How good it was')),
    a.heat.map(heat), dryPlot(a), walks(a),
    h('section', h('h2.bay', 'One pot'), h('div.field', h('label', {for: 'pot-ahead'}, 'Pot'), pick), place),
    weather(a), cares(a));
  if (a.pots.length) show(a.pots[0].pot);
}
