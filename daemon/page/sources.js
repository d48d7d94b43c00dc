// The ways that weather comes in by itself, and how each is doing.
import {h} from './dom.js';
import {nearTime} from './days.js';

const ways = {fetched: 'fetched', messages: 'comes as messages', folder: 'a folder for files'};

function row(s, today) {
  const when = time => nearTime(time, today), count = s.fresh + s.changed;
  return h('li', h('b', s.name), ', ' + ways[s.way] + '. ' +
    (s.failing ? 'Nothing comes in now. ' : s.connected === false ? 'Not connected yet. ' : '') +
    (s.last_success ? 'Last came ' + when(s.last_success) + (count ? ', ' + count + ' new' : ', nothing new') + '. ' : 'Nothing has come yet. ') +
    (s.last_error ? 'Last trouble ' + when(s.last_error) + ': ' + s.error + '. ' : '') + (s.next ? 'Asked again ' + when(s.next) + '.' : ''));
}

export function sources(states, today) {
  return states.length ? h('section', h('h2.bay', 'How it comes in'), h('ul.sources', states.map(s => row(s, today)))) : null;
}
