// A pot's year: its stages, and each job's window with what became of it; as a strip, and in words.
import {h, put} from './dom.js';
import {read} from './server.js';
import {daysBetween, fullDate, shortDate} from './days.js';
import {amount, sentence} from './units.js';
import {byRule, ended} from './jobs.js';
import {asOf, linkTo, tag} from './parts.js';

const became = {done: 'done', dropped: 'left out', passed: 'passed', waiting: 'waiting', due: 'due', 'this week': 'this week', 'in season': 'open'};
const marks = {done: '\u2713', dropped: '\u2013', passed: '\u00b7'};
const from_words = {seen: 'seen', weather: 'by the weather', 'usual year': 'in a usual year', assumed: 'assumed'};

function count(n, one, many) { return n + '\u00a0' + (n === 1 ? one : many || one + 's'); }

// The whole year as a track; what lies on it stands beside in words.
function track(year, spans) {
  const all = daysBetween(year.from, year.to) + 1, at = day => Math.min(100, Math.max(0, daysBetween(year.from, day) / all * 100)).toFixed(1);
  return h('div.track', {'aria-hidden': 'true'}, spans.map(s => {
    const mark = h('span', {class: s.kind}, s.words);
    mark.style.left = at(s.from) + '%';
    if (s.to) mark.style.right = (100 - at(s.to)).toFixed(1) + '%';
    return mark;
  }));
}

function months(year) {
  const spans = [], first = new Date(year.from + 'T00:00:00Z');
  for (let m = 0; m < 12; m += 1) {
    const day = new Date(Date.UTC(first.getUTCFullYear(), first.getUTCMonth() + m, 1)).toISOString().slice(0, 10);
    spans.push({kind: 'month', from: day, to: null, words: shortDate(day).slice(2, 3)});
  }
  return track(year, spans);
}

function stages(year) {
  return h('ul.year', year.stages.map(s => h('li', h('p', ended(s.stage.replace(/-/g, ' ')).slice(0, -1) + ' ', h('small', (s.from === 'seen' ? '' : 'about ') + shortDate(s.day) + ', ' + from_words[s.from])),
    track(year, [{kind: 'stage', from: s.day}]))));
}

function stateOf(job) { return job.ahead ? 'ahead' : became[job.state]; }

function ruleLine(year, all) {
  return h('li', h('p', ended(all[0].title).slice(0, -1) + ' ', h('small', all.map(j => shortDate(j.opens) + ' to ' + shortDate(j.closes) + ', ' + stateOf(j)).join('; '))),
    track(year, all.map(j => ({kind: 'window is-' + (j.ahead ? 'ahead' : j.state.replace(' ', '-')), from: j.opens, to: j.closes, words: marks[j.state] || ''}))));
}

function sums(year) {
  const w = year.weather, p = year.water;
  return [h('p', w.days ? count(w.days, 'day') + ' of weather: ' + amount('mm', w.rain_mm) + ' of rain, ' + amount('mm', w.et0_mm) + ' of ET0; hottest ' + amount('degC', w.hottest_degC) + ' on ' + shortDate(w.hottest_day) +
      ', coldest ' + amount('degC', w.coldest_degC) + ' on ' + shortDate(w.coldest_day) + '; ' + count(w.frost_nights, 'night') + ' of frost, ' + count(w.hot_days, 'day') + ' from ' + sentence('30 degC') + ' on.' : 'No weather of this year is known.'),
    h('p', count(p.pours, 'pour') + ' told or answered for, ' + amount('l', p.poured_l) + ' in all. Felt dry ' + count(p.felt_dry, 'time') + ', wilted ' + count(p.wilted, 'time') + '. Dry already on ' + p.listed_dry + ' of ' + count(p.lists, 'morning list') + '.')];
}

export async function showYear(main, id, wanted) {
  const got = await read('season/' + encodeURIComponent(id) + (wanted ? '?year=' + wanted : '')), year = got.answer, start = Number(year.from.slice(0, 4));
  const all = byRule(year.jobs), link = linkTo('year', id) + '/';
  put(main, h('h1', tag(year.pot), ' ' + (year.label || 'Pot ' + year.pot) + ', the year'), asOf(got.as_of),
    h('p.place', year.trees + '; ' + fullDate(year.from) + ' to ' + fullDate(year.to)), sums(year),
    h('h2.bay', 'Stages'), months(year), stages(year),
    h('h2.bay', 'Jobs: ' + year.done + ' done, ' + year.passed + ' passed, ' + year.dropped + ' left out'),
    h('p.needs', 'Bars are the windows. A tick: done; a dot: passed without a word; a dash: left out; dotted: still ahead; plain: open now.'), months(year),
    h('ul.year', all.map(one => ruleLine(year, one))),
    h('p', h('a.button', {href: link + (start - 1)}, 'The year before'), wanted && h('a.button', {href: link}, 'This year'),
      h('a.button', {href: linkTo('pots', year.pot)}, 'All of pot ' + year.pot)));
}
