// What was written down and is not acknowledged yet. It lies in the phone before it is sent, and each piece has a key by
// which the server knows a second sending of the same.
import {take, put} from './kept.js';
import {ask, freshKey, now, Trouble} from './server.js';
import {stamp} from './days.js';

const name = 'outbox';
const same_tap = 1500;  // the very same words so soon are one tap; a second pour takes longer
const told_at_once = 20000;  // so soon after the tap the server's own clock is as good
const remembered = 300;
export const counts_once = ': written down a moment ago; it counts once.';
const listeners = [];
let sending = false, again = null, pause = 4000, keeps = true;

export function all() { return take(name, []); }
export function waiting() { return all().filter(item => !item.refused); }
export function refused() { return all().filter(item => item.refused); }
export function isKept() { return keeps; }
export function onChange(f) { listeners.push(f); }

function change(edit) {
  const items = all();
  edit(items);
  keeps = put(name, items);
}
function tell(event) { listeners.forEach(f => f(event || {})); }

// `about` says for whom this is: {pot, round, kind, words}. Returns the key, or null when the very same of the same pot was
// written a moment ago and waits: then nothing is added. Another amount is another entry, as it is with a connection.
export function add(path, body, about) {
  const made = now();
  const same = item => !item.undone && !item.refused && about.kind === 'water' && item.about.kind === 'water' && item.about.pot === about.pot &&
                       Math.abs(made - item.made) < same_tap && JSON.stringify(item.body) === JSON.stringify(body);
  if (all().some(same)) return null;
  const item = {key: freshKey(), path, body, about, made, tried: false, refused: null};
  change(items => items.push(item));
  tell();
  flush();
  return item.key;
}

// Takes back what was added. Never tried: it is simply gone. Else it may lie with the server, and is struck after it.
export function takeBack(key) {
  const item = all().filter(i => i.key === key)[0];
  if (!item) {
    const ids = (take('sent', {})[key] || {}).entries || [];
    ids.forEach(id => strike(id, {}));
    return;
  }
  if (!item.tried || item.refused) change(items => items.splice(items.findIndex(i => i.key === key), 1));
  else
    change(items => items.forEach(i => { if (i.key === key) i.undone = true; }));
  tell();
  flush();
}

export function strike(entry, about) {
  return add('entries/' + entry + '/strike', {}, Object.assign({kind: 'strike', entry, words: 'strike entry ' + entry}, about));
}

export function drop(key) {
  change(items => items.splice(items.findIndex(i => i.key === key), 1));
  tell();
}

function remember(item, answer) {
  const sent = take('sent', {});
  sent[item.key] = {entries: ((answer || {}).entries || []).map(e => e.id), at: now()};
  const keys = Object.keys(sent);
  keys.sort((a, b) => sent[a].at - sent[b].at).slice(0, Math.max(0, keys.length - remembered)).forEach(k => delete sent[k]);
  put('sent', sent);
}

function bodyOf(item) {
  const told = Object.assign({}, item.body);
  // Settled at the first sending, since a second one must say the same.
  if (item.path === 'entries' && !told.when && item.made < now() - told_at_once) told.when = stamp(item.made);
  return told;
}

async function send(item) {
  const body = bodyOf(item);
  change(items => items.forEach(i => { if (i.key === item.key) { i.tried = true; i.body = body; } }));
  let answer = null;
  try {
    answer = await ask('POST', item.path, body, {'Idempotency-Key': item.key});
  } catch (trouble) {
    if (trouble.kind !== 'refused') throw trouble;
    // This phone's clock runs ahead: better the time of arrival than nothing written. The refused try wrote nothing.
    if (body.when && /has not come yet/.test(trouble.message)) return void change(items => items.forEach(i => {
      if (i.key !== item.key) return;
      delete i.body.when;
      i.key = freshKey();
      i.made = now();
    }));
    change(items => items.forEach(i => { if (i.key === item.key) i.refused = trouble.message; }));
    tell({refused: item, message: trouble.message});
    return;
  }
  remember(item, answer);
  const undone = all().some(i => i.key === item.key && i.undone);
  change(items => items.splice(items.findIndex(i => i.key === item.key), 1));
  if (undone) answer.entries.forEach(e => strike(e.id, {}));
  tell({sent: item, answer});
}

// One after the other in the order of writing, so that a strike never overtakes what it strikes.
export async function flush() {
  if (sending) return;
  sending = true;
  clearTimeout(again);
  try {
    for (let next = waiting()[0]; next; next = waiting()[0]) await send(next);
    pause = 4000;
  } catch (trouble) {
    if (!(trouble instanceof Trouble)) throw trouble;
    again = setTimeout(flush, pause);
    pause = Math.min(pause * 2, 120000);
    tell({stopped: trouble});
  } finally {
    sending = false;
  }
}

window.addEventListener('online', () => { pause = 4000; flush(); });
document.addEventListener('visibilitychange', () => { if (!document.hidden) { pause = 4000; flush(); } });
