// Plots as SVG, drawn at the size of the page and in its letters, so that large text stays large. No meaning by colour:
// lines, bars and sticks differ in shape, and a table tells the same.
import {svg, h} from './dom.js';
import {plain} from './units.js';

function rem() { return parseFloat(getComputedStyle(document.documentElement).fontSize) || 16; }

// Steps of 1, 2 or 5 that give about `wanted` lines.
export function steps(low, high, wanted) {
  const rough = (high - low || 1) / wanted, ten = Math.pow(10, Math.floor(Math.log10(rough)));
  const step = [1, 2, 5, 10].map(x => x * ten).filter(x => x >= rough)[0] || ten * 10;
  const found = [];
  for (let v = Math.ceil(low / step - 1e-9) * step; v <= high + step * 1e-6; v += step) found.push(v);
  return found;
}

// A frame with a scale to the left and days below. days: [{x0, words}]; draws what `inside({x, y, width, height})` gives.
export function frame(given, inside) {
  const em = rem() * 0.75, left = em * 2.9, right = em * 0.6, top = em * 1.7, bottom = em * 1.6;
  const width = Math.max(given.width, 240), height = Math.min(Math.max(width * 0.5, 190), 300) + top + bottom;
  const x = t => left + (t - given.from) / (given.to - given.from) * (width - left - right);
  const y = v => height - bottom - (v - given.low) / (given.high - given.low || 1) * (height - top - bottom);
  const marks = steps(given.low, given.high, 4);
  const room = em * 3.6;
  let last = -room;
  const labels = given.days.filter(day => {
    const fits = x(day.at) - last >= room && x(day.at) < width - right - room / 4;
    if (fits) last = x(day.at);
    return fits;
  });
  return svg('svg', {width, height, viewBox: '0 0 ' + width + ' ' + height, role: 'img', 'aria-label': given.words, class: 'plot'},
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

// A plot with its words and, folded, its table; drawn anew when the width changes.
export function figure(title, words, draw, tableOf) {
  const place = h('div.drawn');
  const again = () => {
    const width = place.clientWidth;
    if (!width || width === place.drawn) return;
    place.drawn = width;
    while (place.firstChild) place.removeChild(place.firstChild);
    place.appendChild(draw(width));
  };
  const listen = () => (document.body.contains(place) ? again() : window.removeEventListener('resize', listen));
  window.addEventListener('resize', listen);
  setTimeout(again, 0);
  return h('figure', h('figcaption', h('h2.bay', title), h('p', words)), place,
    h('details.fold', h('summary', 'As a table'), tableOf()));
}
