// The facts of a pot as fields: their words, and the control that fits each.
import {h, select} from './dom.js';
import {sentence} from './units.js';

const parts_of_key = {container: 'pot', tree: 'tree', mulch: 'mulch', drip: 'drip'};
export function plainKey(key) {
  const parts = key.split('.');
  if (parts[0] === 'tree') return (parts[1] === 'a' ? 'tree: ' : 'tree ' + parts[1] + ': ') + parts.slice(2).join(' ').replace(/[_-]/g, ' ');
  return (parts.length > 1 ? (parts_of_key[parts[0]] || parts[0]) + ': ' : '') + parts[parts.length - 1].replace(/[_-]/g, ' ');
}

// "container.size=60 L", as a grower reads it: "pot: size 60 L".
export function plainFact(fact) {
  const found = /^([^ =]+)[ =](.*)$/.exec(fact);
  return found ? plainKey(found[1]) + ' ' + sentence(found[2]) : fact;
}

function patternFits(pattern, key) {
  const a = pattern.split('.'), b = key.split('.');
  return a.length === b.length && a.every((part, i) => part === '*' || part === b[i]);
}
export function rowOf(words, key) { return words.facts.filter(f => patternFits(f.key, key))[0]; }

export function valueControl(row, value) {
  if (row && row.words.length && (row.kind === 'word' || row.kind === 'name' || row.kind === 'yes-no'))
    return select({value: row.words.indexOf(value) < 0 ? undefined : value}, row.words.map((w, i) => [w, (row.names || [])[i] || w]));
  if (row && row.kind === 'day') return h('input', {type: 'date', value: value || ''});
  return h('input', {value: value || '', maxlength: 200});
}

// The facts that can be told of a first tree and its pot: {key, help}.
export function tellable(words) {
  return words.facts.filter(f => f.kind !== 'group').map(f => Object.assign({}, f, {real: f.key.replace('tree.*', 'tree.a')})).filter(f => f.real.indexOf('*') < 0);
}
