// Every job of care: what is due, what comes, what waits, and what became of the rest.
import {h, put} from './dom.js';
import {read} from './server.js';
import {onChange, strike} from './outbox.js';
import {longDate, near} from './days.js';
import {sentence} from './units.js';
import {asOf, calmly, tag} from './parts.js';
import {boxesOf, cautions, ended, jobBox, reasons} from './jobs.js';

const open_states = [['due', 'Due'], ['this week', 'This week'], ['in season', 'In season']];
const told_states = [['waiting', 'Waiting'], ['done', 'Done lately'], ['dropped', 'Left out'], ['passed', 'Passed']];
let shown = null, drawnIn = null;

// Jobs of one rule in one state are one line; what differs of them stands over the boxes of its own pots.
function lines(state) {
  const found = [];
  shown.jobs.forEach(job => {
    if (job.state !== state) return;
    const same = found.filter(f => f[0].rule === job.rule)[0];
    if (same) same.push(job);
    else found.push([job]);
  });
  return found;
}

function days(job) { return (job.state !== 'due' && job.due > shown.day ? 'From ' + near(job.due, shown.day) + ', until ' : 'Until ') + near(job.closes, shown.day) + '. '; }
function why(job) { return days(job) + reasons(job); }

function openLine(all) {
  const job = all[0], parts = [];
  all.forEach(one => {
    const same = parts.filter(p => why(p[0]) === why(one))[0];
    if (same) same.push(one);
    else parts.push([one]);
  });
  return h('li', h('h3', ended(job.title).slice(0, -1)), h('p', sentence(ended(job.what))),
    h('p.needs', (job.minutes ? 'About ' + job.minutes + ' min a pot. ' : '') + 'Source: ' + sentence(job.source) + '.'), cautions(all),
    parts.map(part => [h('p.needs', why(part[0])), h('div.each', part.map(one => h('div', boxesOf([jobBox(one, shown.day, shown.actions, draw, true)]))))]));
}

const became = {
  waiting: job => 'waits until ' + near(job.waits_until, shown.day),
  done: job => 'done, entry ' + job.entry,
  dropped: job => 'left out' + (job.told ? ': ' + job.told : ''),
  passed: job => 'passed ' + near(job.closes, shown.day) + '. ' + job.lapsed
};

function toldLine(job) {
  return h('li.entry', tag(job.pot), h('div.what', h('p', h('span.unseen', 'Pot ' + job.pot + ': '), ended(job.title).slice(0, -1)),
    h('small', ended(became[job.state](job)))),
  job.entry && h('button.quiet', {'aria-label': 'Take back, ' + job.title + ', pot ' + job.pot, onclick: calmly(() => strike(job.entry, {}))}, 'Take back'));
}

function draw(control) {
  if (!drawnIn || location.hash.indexOf('#/jobs') !== 0) return;
  const focused = control || (document.activeElement || {}).id;
  const unfolded = Array.from(drawnIn.querySelectorAll('details[open]')).map(fold => fold.id);
  const fold = (state, name, inside) => h('details.fold', {id: 'fold-' + state[0], open: unfolded.indexOf('fold-' + state[0]) >= 0}, h('summary', name), inside);
  const open = open_states.map(s => [s[0], s[1], lines(s[0])]).filter(s => s[2].length), told = told_states.filter(s => shown.jobs.some(j => j.state === s[0]));
  put(drawnIn, h('h1', 'Jobs'), h('p.place', longDate(shown.day)), asOf(shown.as_of),
    shown.remarks.map(r => h('p.notice.note', r)),
    !open.length && h('p.sum', 'Nothing is due, and no window is open.'),
    open.map((s, i) => {
      const list = h('ul.jobs', s[2].map(openLine)), name = s[1] + ', ' + s[2].length + (s[2].length === 1 ? ' job' : ' jobs');
      return i && s[0] === 'in season' ? fold(s, name, list) : h('section', h('h2.bay', name), list);
    }),
    told.map(s => fold(s, s[1], h('ul.lines', shown.jobs.filter(j => j.state === s[0]).map(toldLine)))));
  const again = document.getElementById(focused);
  if (again) again.focus({preventScroll: true});
}

async function load() {
  const got = await read('jobs');
  shown = Object.assign({actions: (await read('words')).answer.actions, as_of: got.as_of}, got.answer);
}

onChange(event => {
  if (!drawnIn || location.hash.indexOf('#/jobs') !== 0) return;
  if (event.sent && event.sent.about.kind === 'strike') load().then(() => draw());
});

export async function showJobs(main) {
  drawnIn = main;
  await load();
  draw();
}
