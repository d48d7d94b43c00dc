// Pieces that several views share.
import {h} from './dom.js';
import {stamp} from './days.js';

const calm_ms = 600, calm_px = 40;  // a second tap so soon and so near is the same tap, whatever lies under the finger by then
let lastTap = {at: 0, x: 0, y: 0};
export function calmly(f) {
  return event => {
    const tap = {at: Date.now(), x: event.clientX, y: event.clientY};
    const same = tap.at - lastTap.at < calm_ms && Math.abs(tap.x - lastTap.x) < calm_px && Math.abs(tap.y - lastTap.y) < calm_px;
    if (same || event.detail > 1) return;
    lastTap = tap;
    f(event);
  };
}

// Where a pot's view is.
export function linkTo(view, id) { return '#/' + view + '/' + encodeURIComponent(id); }

// A pot's label: the shape of a plant tag with its id. Its words stand beside it, so it is not read out.
export function tag(pot) { return h('span', {class: 'tag' + (pot.length > 3 ? ' long' : ''), 'aria-hidden': 'true'}, pot); }

// Says that an answer is an old one.
export function asOf(ms) {
  if (!ms) return null;
  const local = new Date(ms);
  return h('p.old', {title: stamp(ms)}, 'No connection. This is as fetched on ' + local.toLocaleDateString() + ' at ' + local.toTimeString().slice(0, 5) + '.');
}

// A table with a caption; rows of cells, the first of each being its header.
export function table(caption, heads, rows) {
  return h('div.scroll', {tabindex: '0', role: 'region', 'aria-label': caption}, h('table', h('caption', caption),
    h('thead', h('tr', heads.map(t => h('th', {scope: 'col'}, t)))),
    h('tbody', rows.map(cells => h('tr', cells.map((c, i) => (i ? h('td', c) : h('th', {scope: 'row'}, c))))))));
}
