// Amounts as this phone shows them, metric or US, and as they are sent: always with their unit.
import {take, put} from './kept.js';

export function system() { return take('units', 'metric'); }
export function setSystem(value) { put('units', value); }
function us() { return system() === 'us'; }

const quart_l = 0.946352946, gallon_l = 3.785411784, pound_kg = 0.45359237;

export function plain(value, decimals) {
  const text = value.toFixed(decimals === undefined ? 1 : decimals);
  return text.indexOf('.') < 0 ? text : text.replace(/0+$/, '').replace(/\.$/, '');
}

// kind: a quantity's unit as the server suffixes it -> how it is shown.
const shown = {
  l: () => (us() ? {unit: 'qt', turn: x => x / quart_l} : {unit: 'L', turn: x => x}),
  big_l: () => (us() ? {unit: 'gal', turn: x => x / gallon_l} : {unit: 'L', turn: x => x}),
  mm: () => (us() ? {unit: 'in', turn: x => x / 25.4, decimals: 2} : {unit: 'mm', turn: x => x}),
  cm: () => (us() ? {unit: 'in', turn: x => x / 2.54} : {unit: 'cm', turn: x => x}),
  degC: () => (us() ? {unit: '°F', turn: x => x * 1.8 + 32, decimals: 0} : {unit: '°C', turn: x => x}),
  K: () => (us() ? {unit: '°F', turn: x => x * 1.8} : {unit: 'K', turn: x => x}),
  kg: () => (us() ? {unit: 'lb', turn: x => x / pound_kg} : {unit: 'kg', turn: x => x}),
  m_s: () => (us() ? {unit: 'mph', turn: x => x / 0.44704} : {unit: 'm/s', turn: x => x}),
  m: () => (us() ? {unit: 'ft', turn: x => x / 0.3048} : {unit: 'm', turn: x => x}),
  m2: () => (us() ? {unit: 'sq ft', turn: x => x / 0.09290304, decimals: 2} : {unit: 'm²', turn: x => x, decimals: 2})
};
// By the unit as the server writes it.
export const kind_of = {L: 'l', mm: 'mm', degC: 'degC', '°C': 'degC', K: 'K', cm: 'cm', 'm/s': 'm_s', m2: 'm2', m: 'm', kg: 'kg'};

export function unit(kind) { return shown[kind]().unit; }
export function turned(kind, value) { return shown[kind]().turn(value); }
export function number(kind, value, decimals) { const s = shown[kind](); return plain(s.turn(value), decimals || s.decimals); }
export function amount(kind, value, decimals) { return number(kind, value, decimals) + '\u00a0' + unit(kind); }
export function range(kind, low, high) {
  const a = number(kind, low), b = number(kind, high);
  return (a === b ? a : a + ' to ' + b) + '\u00a0' + unit(kind);
}

// "twice 2 L"; where halves of the litres are no even part, "in two passes". Nothing of a single pour.
export function inPasses(line) {
  if (line.passes < 2) return '';
  const each = line.pour_l / line.passes, two = line.passes === 2;
  return Math.round(2 * each) === 2 * each ? (two ? 'twice ' : line.passes + ' times ') + amount('l', each) : 'in ' + (two ? 'two' : line.passes) + ' passes';
}

// Units that a hand may write whatever the phone shows, in litres, kilograms or centimetres. Gallons differ between countries:
// they and the other US measures are known only where this phone shows those.
const litres = {l: 1, ml: 0.001}, us_litres = {qt: quart_l, gal: gallon_l};
const by_hand = {l: litres, big_l: litres, kg: {kg: 1, g: 0.001}, cm: {cm: 1, mm: 0.1}};
const by_us_hand = {l: us_litres, big_l: us_litres, kg: {lb: pound_kg}, cm: {in: 2.54}};

// What a hand wrote, in the unit that this phone shows of the kind: "2,5", "2.5 L", "500 ml". Null when it is no number above zero,
// or has a unit that is not known here.
export function typed(kind, text) {
  const found = /^(\d*[.,]?\d+|\d+[.,])\s*([A-Za-z]*)$/.exec(text.trim());
  if (!found) return null;
  const written = Number(found[1].replace(',', '.').replace(/\.$/, '')), name = found[2].toLowerCase();
  const factor = name && Object.assign({}, by_hand[kind], us() ? by_us_hand[kind] : {})[name];
  if (factor === undefined) return null;
  const value = name && name !== unit(kind).toLowerCase() ? Number(turned(kind, written * factor).toPrecision(12)) : written;
  return value > 0 && value < 100000 ? value : null;
}

const sent = {l: {metric: 'L', us: 'US_liquid_quart'}, big_l: {metric: 'L', us: 'US_liquid_gallon'}, kg: {metric: 'kg', us: 'lb'},
              cm: {metric: 'cm', us: 'in'}, mm: {metric: 'mm', us: 'in'}, degC: {metric: 'degC', us: 'degF'}};
// A number that was typed in this phone's units, for the server.
export function forServer(kind, value) { return String(value) + sent[kind][system()]; }

// The server's sentences and facts, whose amounts are metric.
const said = '[ \u00a0]?(L|mm|degC|°C|K|kg|cm|m/s|m2|m)(?![A-Za-z/0-9])', figure = '(-?\\d+(?:\\.\\d+)?)';
const ranges = new RegExp(figure + '( to | by )' + figure + said, 'g'), amounts = new RegExp(figure + said, 'g');
function kindOf(u, x) { return u === 'L' && x >= 20 ? 'big_l' : kind_of[u]; }
export function sentence(text) {
  if (!us()) return text.replace(/(\d) (degC|°C)(?![A-Za-z])/g, '$1\u00a0°C').replace(/(\d) (L|mm|kg|cm|m\/s)\b/g, '$1\u00a0$2');
  // Lists of before said a range without its unit.
  return text.replace(/ L missing \((\d+(?:\.\d+)?) to (\d+(?:\.\d+)?)\)/, ' L missing ($1 to $2 L)')
    .replace(ranges, (_, a, between, b, u) => number(kindOf(u, Number(b)), Number(a)) + between + amount(kindOf(u, Number(b)), Number(b)))
    .replace(amounts, (_, a, u) => amount(kindOf(u, Number(a)), Number(a)));
}
