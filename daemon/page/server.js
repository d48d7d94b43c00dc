// Talking with the server: who this phone is, what time it is there, and the last good answer when there is no connection.
import {take, put, drop, names} from './kept.js';

const patience = 60000, patience_with_kept = 8000;  // a small board may reckon for a while; who has something to show waits less
const api = 'api/v1/';
let offset = take('clock', 0);  // server's clock less this phone's, milliseconds

export function now() { return Date.now() + offset; }

export function token() { return take('token', null); }
export function setToken(value) {
  if (value) return put('token', value);
  names('answer.').forEach(drop);
  return drop('token');
}

// A fault that the page can act on: kind is 'away' (no connection, try again), 'stranger' (no token), 'refused' (never
// try again) or 'busy' (the server asks for a pause or has a fault).
export class Trouble extends Error {
  constructor(kind, message) { super(message); this.kind = kind; }
}

function setClock(response, sent) {
  const told = Date.parse(response.headers.get('Date') || '');
  if (!told) return;
  // The header is cut to whole seconds and is a moment old.
  const received = Date.now();
  const measured = told + 500 - (sent + received) / 2;
  offset = Math.abs(measured) < 2000 ? 0 : Math.round(measured);
  put('clock', offset);
}

function kind(status) {
  if (status === 401) return 'stranger';
  return status === 408 || status === 429 || status >= 500 ? 'busy' : 'refused';
}

function words(status, body) {
  if (body && body.detail) return body.detail + (body.right ? '. Right would be: ' + body.right : '');
  return 'The machine answered ' + status + '.';
}

export async function ask(method, path, body, headers, wait) {
  const given = {method, headers: Object.assign({Accept: 'application/json'}, headers), cache: 'no-cache'};
  if (token()) given.headers.Authorization = 'Bearer ' + token();
  if (body !== undefined) {
    given.headers['Content-Type'] = 'application/json';
    given.body = JSON.stringify(body);
  }
  const sent = Date.now();
  const waiting = new Promise((_, no) => setTimeout(() => no(new Trouble('away', 'No answer in time.')), wait || patience));
  let response, answer = null;
  try {
    response = await Promise.race([fetch(api + path, given), waiting]);
    const text = await Promise.race([response.text(), waiting]);
    answer = text ? JSON.parse(text) : null;
  } catch (e) {
    if (!response || response.ok) throw e instanceof Trouble ? e : new Trouble('away', 'No connection.');
  }
  setClock(response, sent);
  if (!response.ok) throw new Trouble(kind(response.status), words(response.status, answer));
  return answer;
}

// {answer, as_of}: as_of is null when the answer is fresh, else when it was fetched.
export async function read(path) {
  const kept = take('answer.' + path, null);
  try {
    const answer = await ask('GET', path, undefined, undefined, kept ? patience_with_kept : patience);
    put('answer.' + path, {answer, at: now()});
    return {answer, as_of: null};
  } catch (trouble) {
    if (kept && (trouble.kind === 'away' || trouble.kind === 'busy')) return {answer: kept.answer, as_of: kept.at};
    throw trouble;
  }
}

// 128 random bits; crypto.randomUUID is not there on a page without TLS.
export function freshKey() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, b => ('0' + b.toString(16)).slice(-2)).join('');
}
