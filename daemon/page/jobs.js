// The jobs that stand on a list, each with its reason, its caution, and a box for every pot that it concerns.
import {h, say} from './dom.js';
import {add, takeBack} from './outbox.js';
import {take, put as keep} from './kept.js';
import {near} from './days.js';
import {sentence} from './units.js';
import {tag} from './parts.js';

function ended(text) { return text.charAt(0).toUpperCase() + text.slice(1) + (/[.!?:]$/.test(text) ? '' : '.'); }

// The words of the entry that answers a part: those after `did`, where they say all that the action needs.
function wordsOf(part, actions) {
  const words = /^did /.test(part.answer) ? part.answer.slice(4).split(' ') : [];
  const action = actions.filter(a => a.word === words[1])[0];
  return words.length > 2 || (action && action.example === action.word) ? words : null;
}

function part(p, list, actions, again, calmly) {
  const marks = take('jobs.' + list.day, {}), name = p.title + ', pot ' + p.pot;
  const mark = on => {
    if (on) marks[p.id] = on;
    else delete marks[p.id];
    keep('jobs.' + list.day, marks);
    again();
  };
  if (marks[p.id])
    return h('div', {class: 'done'}, tag(p.pot), h('p', {class: 'answer'}, h('span', {class: 'check', 'aria-hidden': 'true'}), 'done'),
      h('button', {type: 'button', class: 'quiet', 'aria-label': 'Take back, ' + name, onclick: calmly(() => { takeBack(marks[p.id]); mark(null); })}, 'Take back'));
  const words = wordsOf(p, actions);
  if (!words) return h('p', {}, tag(p.pot), ' ', h('small', {}, 'Write it down with its amount, as: ' + p.answer));
  return h('button', {type: 'button', class: 'box', 'aria-label': 'Pot ' + p.pot + ' done: ' + p.title, onclick: calmly(() => {
    say('Written down.');
    mark(add('entries', {words}, {kind: 'job', pot: p.pot, words: name}));
  })}, h('span', {class: 'square', 'aria-hidden': 'true'}), 'Pot ' + p.pot + ' done');
}

export function jobs(list, actions, again, calmly) {
  if (!list.jobs.length) return null;
  return h('section', {}, h('h2', {class: 'bay'}, 'Jobs'), h('ul', {class: 'jobs'}, list.jobs.map(job => h('li', {},
    h('h3', {}, job.title), h('p', {}, sentence(ended(job.what))),
    h('p', {class: 'needs'}, job.because.map(b => sentence(ended(b.text))).concat('Until ' + near(job.closes, list.day) + (job.minutes ? ', about ' + job.minutes + ' min.' : '.')).join(' ')),
    job.caution.map(text => h('p', {class: 'flag'}, sentence(ended(text)))),
    h('div', {class: 'boxes'}, job.parts.map(p => part(p, list, actions, again, calmly)))))));
}
