// Jobs of care with their reason, their caution, and what can be said of each: on a list, and in the view of all jobs.
import {h, say, field, opener} from './dom.js';
import {add, takeBack} from './outbox.js';
import {take, put as keep} from './kept.js';
import {near, shifted} from './days.js';
import {forServer, sentence, typed, unit} from './units.js';
import {calmly, tag} from './parts.js';
import {draftOf, form, wrong} from './pencil.js';

const kinds = {L: 'l', cm: 'cm', kg: 'kg'};

export function ended(text) { return text && text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?:]$/.test(text) ? '' : '.'); }

// What this phone said of a day's jobs, by id: {key, words}.
function marks(day) { return take('jobs.' + day, {}); }
function mark(day, id, said) {
  const all = marks(day);
  if (said) all[id] = said;
  else delete all[id];
  keep('jobs.' + day, all);
}

function told(job, words, takeBackNow) {
  return h('div.done', tag(job.pot), h('p.answer', h('span.check', {'aria-hidden': 'true'}), words),
    h('button.quiet', {id: 'job-' + job.id, 'aria-label': 'Take back, ' + job.title + ', pot ' + job.pot, onclick: calmly(takeBackNow)}, 'Take back'));
}

// The words of the entry that answers a job: those after `did`. `more`: what its action needs besides, as in its example.
function answerOf(job, actions) {
  const words = /^did /.test(job.answer) ? job.answer.slice(4).split(' ') : [];
  const action = actions.filter(a => a.word === words[1])[0];
  if (words[1] === 'moved') return {words: words.slice(0, 2), more: words[2] || 'porch', bay: true};
  const example = action && words.length === 2 ? action.example.slice(action.word.length + 1) : '';
  return {words, more: example};
}

function amountForm(draft, found, write) {
  const kind = kinds[(/^[\d.]+(L|cm|kg)$/.exec(found.more) || [])[1]], input = draft.field('amount', {size: 8}, found.bay ? found.more : '');
  return form([field(kind ? 'How much, ' + unit(kind) : found.bay ? 'To which bay' : 'As: ' + found.more, input), h('button', {type: 'submit'}, 'Done')], () => {
    const amount = kind ? typed(kind, input.value) : input.value.trim();
    if (!amount) return void wrong(input, (kind ? 'Not an amount in ' + unit(kind) + '. ' : '') + 'Right would be: ' + (kind ? '2.5 or 2,5' : found.more) + '.');
    write(found.words.concat(kind ? forServer(kind, amount) : amount.split(/ +/)));
  });
}

// Wait or drop: what a list has no room for.
function others(job, draft, day, write) {
  const until = draft.field('until', {type: 'date', min: shifted(day, 1), max: job.closes}, ''), why = draft.field('because', {maxlength: 200}, '');
  return h('div.pencil',
    form([field('Waits until, ' + near(job.closes, day) + ' at the latest', until), h('button', {type: 'submit'}, 'Let it wait')], () =>
      (until.value ? write('wait', {until: until.value}, 'waits until ' + near(until.value, day)) : wrong(until, 'A day is needed.'))),
    form([field('Left out this time, because', why), h('button', {type: 'submit'}, 'Leave it out')], () =>
      (why.value.trim() ? write('drop', {because: why.value.trim()}, 'left out') : wrong(why, 'A reason is needed. Right would be: no fruit this year.'))));
}

// One job of one pot: {box, more}, what is tapped and what opens below it. `again` draws the view anew, with the keyboard on the
// job's control, which bears the same id before and after an answer; `all`: with wait and drop.
export function jobBox(job, day, actions, again, all) {
  const said = marks(day)[job.id], name = job.title + ', pot ' + job.pot, control = 'job-' + job.id, draft = draftOf(control, job.id);
  if (said) return {box: told(job, said.words, () => { takeBack(said.key); mark(day, job.id, null); again(control); })};
  const note = (path, body, words) => {
    mark(day, job.id, {key: add(path, body, {kind: 'job', pot: job.pot, words: name + ': ' + words}), words});
    draft.drop();
    say('Written down.');
    again(control);
  };
  const done = words => note('entries', {words}, 'done');
  const found = answerOf(job, actions);
  const other = all && opener('Other', {class: 'more', id: 'other-' + job.id, 'aria-label': 'Other, ' + name}, () => others(job, draft, day, (what, body, words) => note('jobs/' + encodeURIComponent(job.id) + '/' + what, body, words)), draft.part('other'));
  const amount = found.more && opener('Pot ' + job.pot + ' done …', {id: control, 'aria-label': 'Pot ' + job.pot + ' done …: ' + job.title}, () => h('div.pencil', amountForm(draft, found, done)), draft.part('done'));
  return {box: [amount ? amount.button : h('button.box', {id: control, 'aria-label': 'Pot ' + job.pot + ' done: ' + job.title, onclick: calmly(() => done(found.words))},
    h('span.square', {'aria-hidden': 'true'}), 'Pot ' + job.pot + ' done'), other && other.button], more: [amount && amount.inside, other && other.inside]};
}
export function boxesOf(found) { return [h('div.boxes', found.map(f => f.box)), found.map(f => f.more)]; }

export function reasons(job) { return job.because.map(b => sentence(ended(b.text))).join(' '); }
// What differs only in its figures is said once, with the largest.
export function cautions(all) {
  const told = {}, first = text => Number((/[\d.]+/.exec(text) || [0])[0]);
  all.forEach(job => job.caution.forEach(text => {
    const words = text.replace(/[\d.]+/g, '');
    if (!told[words] || first(told[words]) < first(text)) told[words] = text;
  }));
  return Object.keys(told).map(words => told[words]).map(text => h('p.flag', h('b', 'Care. '), sentence(ended(text))));
}

// A line may join jobs that go together.
export function byRule(jobs) {
  const found = [];
  jobs.forEach(job => {
    const same = found.filter(f => f[0].rule === job.rule)[0];
    if (same) same.push(job);
    else found.push([job]);
  });
  return found;
}

// The lines on a list.
export function jobs(list, actions, again) {
  if (!list.jobs.length) return null;
  return h('section', h('h2.bay', 'Jobs'), h('ul.jobs', list.jobs.map(job => h('li',
    h('h3', ended(job.title).slice(0, -1)), h('p.needs', reasons(job)), h('p', sentence(ended(job.what))),
    h('p.needs', 'Until ' + near(job.closes, list.day) + (job.minutes ? ', about ' + job.minutes + ' min.' : '.')),
    cautions([job]), byRule(job.parts).map(same => [job.parts.length > same.length && h('p.name', ended(same[0].title).slice(0, -1) + ':'),
      boxesOf(same.map(p => jobBox(p, list.day, actions, again)))])))), h('p', h('a.button', {href: '#/jobs'}, 'All jobs')));
}
