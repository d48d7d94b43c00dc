// What a change would do to a pot: its past season lived through again with other facts.
import {h, put, field, select} from './dom.js';
import {read} from './server.js';
import {fullDate} from './days.js';
import {amount, range, sentence, turned, unit} from './units.js';
import {figure, ranges, steps} from './plot.js';
import {asOf, linkTo, table, tag} from './parts.js';
import {form, wrong} from './pencil.js';
import {plainFact, plainKey, rowOf, tellable, valueControl} from './facts.js';
import {cares, ranged} from './view_ahead.js';

// What one would change in a pot, first; all else stands below.
const first_asked = ['container.size', 'mulch.depth', 'bay', 'container.saucer', 'container.wall', 'container.colour', 'medium'];

function ask(words, id, facts) {
  const known = tellable(words), place = h('div'), order = f => (first_asked.indexOf(f.real) + 1) || 99;
  let control = null, row = null;
  const show = key => {
    row = rowOf(words, key);
    control = valueControl(row, '');
    put(place, field(plainKey(key) + (row && row.example ? ', such as ' + sentence(row.example) : ''), control));
  };
  const pick = select({onchange: event => show(event.target.value)}, known.sort((a, b) => order(a) - order(b)).map(f => [f.real, plainKey(f.real)]));
  show(pick.value);
  const go = kept => {
    const value = control.value.trim();
    if (!value) return void wrong(control, 'Nothing is written there.' + (row && row.example ? ' Right would be: ' + row.example + '.' : ''));
    location.hash = linkTo('compare', id) + '/' + encodeURIComponent(kept.filter(f => f.split('=')[0] !== pick.value).concat(pick.value + '=' + value).join(';'));
  };
  return h('div.pencil', form([field('What to change', pick), place, h('button', {type: 'submit', class: 'plain'}, 'Compare'),
    facts.length > 0 && h('button', {onclick: () => go(facts)}, 'Change this as well')], () => go([])));
}

function scale(high) {
  const found = steps(0, high, 4);
  return found.map(v => ({at: v, words: String(Math.round(v * 100) / 100)}));
}

function pair(s, kind, width) {
  const value = v => turned(kind, v), high = Math.max(value(s.without.poured_high_l), value(s.with.poured_high_l)) * 1.05 || 1;
  const row = (name, l) => ({words: name, spans: [{low: value(l.poured_low_l), middle: value(l.poured_l), high: value(l.poured_high_l), full: name === 'changed'}]});
  return ranges({width, from: 0, to: high, marks: scale(high), names: 5}, [row('as it is', s.without), row('changed', s.with)]);
}

// Hours added up over a season, as a grower counts them.
const inAll = v => (v < 0.5 ? 'none' : v < 48 ? Math.round(v) + '\u00a0h' : Math.round(v / 24) + '\u00a0days');
const dry = l => inAll(l.dry_h) + ' (' + inAll(l.dry_low_h) + ' to ' + inAll(l.dry_high_h) + ')';
const walks = l => l.walks + (l.walks_low === l.walks_high ? '' : ' (' + l.walks_low + ' to ' + l.walks_high + ')');
const longer = v => (Math.abs(v) < 0.5 ? 'no change' : inAll(Math.abs(v)) + (v < 0 ? ' less' : ' more'));
function season(s) {
  const kind = Math.max(s.without.poured_high_l, s.with.poured_high_l) >= 20 ? 'big_l' : 'l', name = s.season === 'past' ? 'The past season' : 'A typical season';
  const signed = (value, text) => (value > 0 ? '+' : value < 0 ? '\u2212' : '') + text;
  const plus = v => signed(v, Math.abs(v));
  const less = v => signed(v, amount(kind, Math.abs(v)));
  return h('section', h('h2.bay', name), h('p.place', fullDate(s.from) + ' to ' + fullDate(s.to)), h('p.sum', sentence(s.text[0].toUpperCase() + s.text.slice(1)) + '.'),
    figure('Water to pour', 'In ' + unit(kind) + '. The marks are likely, the lines hold eight of ten possibilities. ' + walks(s.without) + ' walks as it is, ' + walks(s.with) + ' changed.', width => pair(s, kind, width),
      () => table(name + ', as it is and changed', ['In the season', 'As it is', 'Changed', 'Difference'], [
        ['To pour', ranged(kind, s.without, 'poured', 'l'), ranged(kind, s.with, 'poured', 'l'), less(s.difference_l) + ' (' + less(s.difference_low_l) + ' to ' + less(s.difference_high_l) + ')'],
        ['Walks', walks(s.without), walks(s.with), plus(s.difference_walks) + ' (' + plus(s.difference_walks_low) + ' to ' + plus(s.difference_walks_high) + ')'],
        ['Dry, in all', dry(s.without), dry(s.with), longer(s.difference_dry_h) + ' (' + longer(s.difference_dry_low_h) + ' to ' + longer(s.difference_dry_high_h) + ')'],
        ['Uses', range(kind, s.without.used_low_l, s.without.used_high_l), range(kind, s.with.used_low_l, s.with.used_high_l), '']])));
}

export async function showCompare(main, id, written) {
  const facts = (written || '').split(';').filter(Boolean), words = (await read('words')).answer;
  const got = facts.length ? await read('compare/' + encodeURIComponent(id) + '?facts=' + encodeURIComponent(facts.join(';'))) : null, a = got && got.answer;
  put(main, h('h1', tag(id), ' What would a change do'), got && asOf(got.as_of), ask(words, id, facts),
    a && [h('p', 'Pot ' + id + ' with ' + a.changes.map(plainFact).join(', ') + '.'), a.seasons.map(season), cares({cautions: [], remarks: a.remarks})],
    h('p', h('a.button', {href: linkTo('pots', id)}, 'All of pot ' + id)));
}
