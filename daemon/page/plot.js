// Plots as SVG, drawn at the size of the page and in its letters, so that large text stays large. No meaning by colour:
// lines, bars and sticks differ in shape, and a table tells the same.
import {svg, h} from './dom.js';
import {shortDate} from './days.js';
import {plain} from './units.js';

// A mark for each day of a row of days, its words in the day's middle.
export function dayMarks(days) { return days.map((d, i) => ({at: i, middle: 0.5, words: shortDate(d.day)})); }

function rem() { return parseFloat(getComputedStyle(document.documentElement).fontSize) || 16; }

// Steps of 1, 2 or 5 that give about `wanted` lines.
export function steps(low, high, wanted) {
  const rough = (high - low || 1) / wanted, ten = Math.pow(10, Math.floor(Math.log10(rough)));
  const step = [1, 2, 5, 10].map(x => x * ten).filter(x => x >= rough)[0] || ten * 10;
  const found = [];
  for (let v = Math.ceil(low / step - 1e-9) * step; v <= high + step * 1e-6; v += step) found.push(v);
  return found;
}

// The end of a scale from zero that holds a value: 1, 2 or 5 of a power of ten.
export function scaleEnd(value) {
  const ten = Math.pow(10, Math.floor(Math.log10(value)));
  return [1, 2, 5, 10].map(x => x * ten).filter(x => x >= value * (1 - 1e-9))[0];
}

// Of the marks below a scale those that have room beside each other: by the longest words of them, "16 Sept" beside "1 May".
function fitting(marks, x, em, end) {
  const room = em * Math.max(3.6, 1 + 0.58 * Math.max(...marks.map(m => m.words.length)));
  let last = -room;
  return marks.filter(mark => {
    const fits = x(mark.at) - last >= room && x(mark.at) < end - room / 4;
    if (fits) last = x(mark.at);
    return fits;
  });
}

// A frame with a scale to the left and days below. days: [{x0, words}]; draws what `inside({x, y, width, height})` gives.
export function frame(given, inside) {
  const em = rem() * 0.75, left = em * 2.9, right = em * (given.right || 0.6), top = em * 1.7, bottom = em * 2;
  const width = Math.max(given.width, 240), height = Math.min(Math.max(width * 0.5, 190), 300) + top + bottom;
  const x = t => left + (t - given.from) / (given.to - given.from) * (width - left - right);
  const y = v => height - bottom - (v - given.low) / (given.high - given.low || 1) * (height - top - bottom);
  const marks = steps(given.low, given.high, 4);
  const labels = fitting(given.days, x, em, width - right);
  return svg('svg', {width, height, viewBox: '0 0 ' + width + ' ' + height, role: 'img', class: 'plot'},
    svg('text', {x: left, y: em, class: 'unit'}, given.unit),
    marks.map(v => [svg('line', {x1: left, x2: width - right, y1: y(v), y2: y(v), class: 'grid'}),
      svg('text', {x: left - em * 0.4, y: y(v) + em * 0.35, class: 'scale'}, plain(v, given.decimals === undefined ? 1 : given.decimals))]),
    given.days.map(day => svg('line', {x1: x(day.at), x2: x(day.at), y1: height - bottom, y2: height - bottom + em * 0.3, class: 'axis'})),
    labels.map(day => svg('text', {x: x(day.at) + (day.middle ? x(given.from + day.middle) - left : 0), y: height - em * 0.35, class: 'day'}, day.words)),
    inside({x, y, width, height, left, right, top, bottom, em}),
    svg('line', {x1: left, x2: width - right, y1: height - bottom, y2: height - bottom, class: 'axis'}));
}

export function line(points, x, y, className) {
  return svg('path', {d: points.map((p, i) => (i ? 'L' : 'M') + x(p[0]).toFixed(1) + ' ' + y(p[1]).toFixed(1)).join(''), class: className});
}

export function band(points, x, y) {  // [t, low, high]
  const up = points.map(p => x(p[0]).toFixed(1) + ' ' + y(p[2]).toFixed(1));
  const down = points.slice().reverse().map(p => x(p[0]).toFixed(1) + ' ' + y(p[1]).toFixed(1));
  return svg('path', {d: 'M' + up.concat(down).join('L') + 'Z', class: 'band'});
}

// From the scale's zero to a value; place and breadth as days.
export function bar(f, at, breadth, value, kind) {
  return svg('rect', {class: kind, x: f.x(at), width: f.x(breadth) - f.x(0), y: f.y(value), height: Math.max(0, f.y(0) - f.y(value))});
}

// From low to high with short ends, upright at x; in a frame f.
export function whisker(f, x, low, high, half) {
  const end = half || f.em * 0.35, a = f.y(low), b = f.y(high);
  return svg('path', {class: 'range', d: 'M' + (x - end) + ' ' + b + 'h' + 2 * end + 'M' + x + ' ' + b + 'V' + a + 'M' + (x - end) + ' ' + a + 'h' + 2 * end});
}

// Rows of ranges over one scale: who, and from where to where with the middle. Open ones have a ring, full ones a block. What goes
// on beyond the scale ends in an arrow. given: {width, from, to, marks: [{at, words}], lines: [at]}; rows: [{words, spans:
// [{low, middle, high, full}]}], where null is beyond the scale.
export function ranges(given, rows) {
  const em = rem() * 0.75, width = Math.max(given.width, 240), left = Math.min(width / 3, em * (given.names || 4.5)), right = em * 1.2, top = em * 0.6, bottom = em * 1.8, each = em * (given.each || 2.4);
  const height = top + bottom + each * rows.length, end = height - bottom, beyond = given.to + 1;
  const x = v => left + (Math.max(given.from, Math.min(given.to, v)) - given.from) / (given.to - given.from) * (width - left - right);
  const span = (s, y) => {
    const value = v => (v === null || v === undefined ? beyond : v), low = value(s.low), middle = value(s.middle), high = value(s.high), a = x(low), b = x(high), e = em * 0.3;
    if (low > given.to) return svg('path', {class: 'range', d: 'M' + (width - right - e) + ' ' + (y - e) + 'l' + e + ' ' + e + 'l' + -e + ' ' + e});
    return svg('g', svg('path', {class: s.full ? 'range thick' : 'range', d: 'M' + a + ' ' + (y - e) + 'v' + 2 * e + 'm0 ' + -e + 'H' + b + (high > given.to ? 'm' + -e + ' ' + -e + 'l' + e + ' ' + e + 'l' + -e + ' ' + e : 'm0 ' + -e + 'v' + 2 * e)}),
      middle <= given.to && (s.full ? svg('rect', {class: 'pour', x: x(middle) - e, y: y - e, width: 2 * e, height: 2 * e}) : svg('circle', {class: 'pour silent', cx: x(middle), cy: y, r: e})));
  };
  return svg('svg', {width, height, viewBox: '0 0 ' + width + ' ' + height, role: 'img', class: 'plot'},
    given.marks.map(m => svg('line', {x1: x(m.at), x2: x(m.at), y1: top, y2: end, class: 'grid'})),
    fitting(given.marks, x, em, width).map(m => svg('text', {x: x(m.at), y: height - em * 0.4, class: 'day'}, m.words)),
    (given.lines || []).map(at => svg('line', {x1: x(at), x2: x(at), y1: top, y2: end, class: 'full'})),
    rows.map((row, i) => {
      const y = top + each * (i + 0.5), n = row.spans.length;
      return svg('g', svg('text', {x: left - em * 0.6, y: y + em * 0.35, class: 'scale'}, row.words), row.spans.map((s, k) => span(s, y + (k - (n - 1) / 2) * em * 0.85)));
    }),
    svg('line', {x1: left, x2: width - right, y1: end, y2: end, class: 'axis'}));
}

// A plot with its words and, folded, its table; drawn anew when the width changes.
export function figure(title, words, draw, tableOf) {
  const place = h('div.drawn');
  const again = () => {
    const width = place.clientWidth;
    if (!width || width === place.drawn) return;
    place.drawn = width;
    while (place.firstChild) place.removeChild(place.firstChild);
    const drawn = draw(width);
    drawn.setAttribute('aria-label', title + '; the table below holds the numbers.');
    place.appendChild(drawn);
  };
  const listen = () => (document.body.contains(place) ? again() : window.removeEventListener('resize', listen));
  window.addEventListener('resize', listen);
  setTimeout(again, 0);
  return h('figure', h('figcaption', h('h2.bay', title), h('p', words)), place,
    h('details.fold', h('summary', 'As a table'), tableOf()));
}
