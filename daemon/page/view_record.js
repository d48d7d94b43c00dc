// How good what was foreseen was here: forecasts by their source, ET0 as the garden foresaw it, and its pots.
import {h, put, svg, select} from './dom.js';
import {read} from './server.js';
import {fullDate, nearTime} from './days.js';
import {plain, turned, unit} from './units.js';
import {bar, figure, frame, line} from './plot.js';
import {asOf, table} from './parts.js';

const names = {'air_temperature:max': 'highest temperature', 'air_temperature:min': 'lowest temperature', 'dew_point_temperature:mean': 'dew point', 'relative_humidity:mean': 'humidity',
  'wind_speed:mean': 'wind', 'surface_downwelling_shortwave_flux_in_air:mean': 'sun', 'precipitation_amount:sum': 'rain', 'et0:sum': 'ET0', 'demand:sum': 'use of a pot'};
// A difference in a quantity's unit, as this phone shows it: the unit's kind.
const shown = {K: 'K', mm: 'mm', L: 'l', 'm s-1': 'm_s'};
function inUnit(u, v) { return shown[u] ? [turned(shown[u], v), unit(shown[u])] : [v, u.replace(' m-2', '/m²')]; }
function said(u, v) { const s = inUnit(u, v); return plain(s[0], s[1] === 'in' ? 2 : 1) + '\u00a0' + s[1]; }

// Lines of one quantity, by lead.
export function record(title, lines) {
  const u = lines[0].unit, value = v => inUnit(u, v)[0], same = lines.filter(l => l.same_as_yesterday_miss !== null);
  const most = Math.max(...lines.map(l => value(l.miss)).concat(same.map(l => value(l.same_as_yesterday_miss)))) || 1, first = lines[0].lead_days, last = lines[lines.length - 1].lead_days;
  const bias = l => (l.bias_is_share ? plain(100 * l.bias, 0) + ' %' : said(u, l.bias));
  const held = lines.reduce((sum, l) => sum + l.held_share * l.compared, 0) / lines.reduce((sum, l) => sum + l.compared, 0);
  return figure(title, 'How far off on average, by days ahead. Line: what was foreseen. Dotted: the same as yesterday. ' + Math.round(100 * held) + ' of 100 days came within the range that should hold 80.',
    width => frame({width, from: first - 0.5, to: last + 0.5, low: 0, high: most * 1.1, decimals: 2, unit: inUnit(u, 1)[1], days: lines.map(l => ({at: l.lead_days, words: String(l.lead_days)}))},
      f => [line(same.map(l => [l.lead_days, value(l.same_as_yesterday_miss)]), f.x, f.y, 'full'), line(lines.map(l => [l.lead_days, value(l.miss)]), f.x, f.y, 'middle')]),
    () => table(title, ['Days ahead', 'Compared', 'Too high by', 'Off by', 'Same as yesterday', 'Skill, 1 at best', 'In range'],
      lines.map(l => [l.lead_days, l.compared, bias(l), said(u, l.miss), l.same_as_yesterday_miss === null ? '' : said(u, l.same_as_yesterday_miss), l.skill === null ? '' : plain(l.skill, 2), Math.round(100 * l.held_share) + ' %'])));
}

function source(s, today) {
  const by = {};
  s.lines.forEach(l => { (by[l.quantity] = by[l.quantity] || []).push(l); });
  const quantities = Object.keys(by), place = h('div'), id = 'quantity-' + s.source;
  const show = q => put(place, record(s.source + ': ' + (names[q] || q), by[q]));
  if (quantities.length) show(quantities[0]);
  return h('section', h('h2.bay', s.source), h('p', (s.newest_issue ? 'Newest of ' + nearTime(s.newest_issue, today) : 'No forecast now') + (s.stale ? ': too old to say what lies ahead.' : '.')),
    quantities.length ? [h('div.field', h('label', {for: id}, 'What was foreseen'), select({id, onchange: event => show(event.target.value)}, quantities.map(q => [q, names[q] || q]))), place]
      : h('p', 'Nothing to compare it with yet: its error is the usual one.'));
}

// Chances of an hour dry: foreseen beside come, and how far off in the mean square.
function chances(lines) {
  const share = v => Math.round(100 * v) + ' %', title = 'An hour dry on a day';
  return figure(title, 'How often, by days ahead. Open bars: the chance that was foreseen. Filled bars: how often it came. Alike where chances are what they say.',
    width => frame({width, from: 0.5, to: lines.length + 0.5, low: 0, high: 10, decimals: 0, unit: 'in 10', days: lines.map(l => ({at: l.lead_days, words: String(l.lead_days)}))},
      f => lines.map(l => svg('g', {class: 'bars'}, bar(f, l.lead_days - 0.38, 0.36, 10 * l.foreseen_share, 'et0'), bar(f, l.lead_days + 0.02, 0.36, 10 * l.came_share, 'rain')))),
    () => table(title, ['Days ahead', 'Compared', 'Foreseen', 'Came', 'Chance off by (Brier)', 'Skill, 1 at best'], lines.map(l => [l.lead_days, l.compared, share(l.foreseen_share), share(l.came_share), l.brier.toFixed(3), l.skill === null ? '' : plain(l.skill, 2)])));
}

// It takes a while, so it waits to be asked for.
function ofPots() {
  const place = h('div');
  const get = async () => {
    put(place, h('p', 'Looking back …'));
    try {
      const a = (await read('hindcast')).answer;
      put(place, a.demand.length > 0 && record('Use of a pot on a day', a.demand), a.dry.length > 0 && chances(a.dry), a.remarks.map(r => h('p.needs', r)));
    } catch (trouble) {
      put(place, h('p', trouble.message));
    }
  };
  return h('section', h('h2.bay', 'Pots'), h('p', 'What was foreseen of the pots on past mornings, beside what came.'), h('p', h('button', {onclick: get}, 'Look back')), place);
}

export async function showRecord(main) {
  const today = (await read('round')).answer.day, got = await read('forecasts'), a = got.answer;
  put(main, h('h1', 'How good it was'), asOf(got.as_of), h('p', 'What was foreseen beside what came, ' + fullDate(a.from) + ' to ' + fullDate(a.to) + '.'),
    a.sources.length ? a.sources.map(s => source(s, today)) : h('p', 'There is no forecast yet.'),
    a.et0.length > 0 && record('ET0 as the garden foresaw it', a.et0), ofPots(),
    h('p.needs', 'Skill: 1 is never wrong, 0 no better than the day before, below 0 worse.'),
    h('p', h('a.button', {href: '#/ahead'}, 'Days ahead')));
}
