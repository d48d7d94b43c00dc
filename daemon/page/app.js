// The page's frame: which view, its title, what waits to be sent.
import {h, put, say} from './dom.js';
import {all, flush, isKept, onChange, waiting, refused} from './outbox.js';
import {clock, dayOf, longDate} from './days.js';
import {ask, read, setToken, token, Trouble} from './server.js';
import {sentence} from './units.js';
import {showVisit, showWalk} from './view_walk.js';
import {showWhy} from './view_why.js';
import {showPot, showPots} from './view_pots.js';
import {showJobs} from './view_jobs.js';
import {showYear} from './view_year.js';
import {showDaybook} from './view_daybook.js';
import {showWeather} from './view_weather.js';
import {showAhead} from './view_ahead.js';
import {showAway} from './view_away.js';
import {showCompare} from './view_compare.js';
import {showRecord} from './view_record.js';
import {letIn, showPhone} from './view_phone.js';

function own_files() {
  return [location.pathname].concat(performance.getEntriesByType('resource').map(r => r.name).filter(n => !/\/api\//.test(n)));
}

const main = document.getElementById('main');
const tabs = [['#/', 'Walk'], ['#/ahead', 'Ahead'], ['#/jobs', 'Jobs'], ['#/pots', 'Pots'], ['#/daybook', 'Daybook'], ['#/weather', 'Weather'], ['#/phone', 'Phone']];
let remarked = [];
let turn = 0, ends = null, name = '';  // when this phone's token ends, and whose it is: a helper's, who sees the visit and nothing else

// A part of an address; one that was cut off or garbled stands as it is.
function readable(part) {
  try { return decodeURIComponent(part); } catch (e) { return part; }
}

function showNothing(m) {
  put(m, h('h1', 'Nothing is here'), h('p', 'The page has no such view.'), h('p', h('a.button', {href: '#/'}, ends ? 'To the visit' : 'To the walk')));
}

function route() {
  if (ends && !/^#\/phone/.test(location.hash)) return {tab: '#/', title: 'Visit', show: m => showVisit(m, ends, name)};
  const parts = location.hash.replace(/^#\/?/, '').split('/').map(readable);
  if (parts[0] === 'why' && parts[1]) return {tab: '#/', title: 'Why, pot ' + parts[1], show: m => showWhy(m, parts[1])};
  if (parts[0] === 'pots' && parts[1]) return {tab: '#/pots', title: 'Pot ' + parts[1], show: m => showPot(m, parts[1])};
  if (parts[0] === 'pots') return {tab: '#/pots', title: 'Pots', show: showPots};
  if (parts[0] === 'year' && parts[1]) return {tab: '#/pots', title: 'Year of pot ' + parts[1], show: m => showYear(m, parts[1], parts[2])};
  if (parts[0] === 'ahead') return {tab: '#/ahead', title: 'Days ahead', show: showAhead};
  if (parts[0] === 'away') return {tab: '#/ahead', title: 'Being away', show: m => showAway(m, parts[1], parts[2])};
  if (parts[0] === 'record') return {tab: '#/ahead', title: 'How good it was', show: showRecord};
  if (parts[0] === 'compare' && parts[1]) return {tab: '#/pots', title: 'A change to pot ' + parts[1], show: m => showCompare(m, parts[1], parts[2])};
  if (parts[0] === 'jobs') return {tab: '#/jobs', title: 'Jobs', show: showJobs};
  if (parts[0] === 'daybook') return {tab: '#/daybook', title: 'Daybook', show: showDaybook};
  if (parts[0] === 'weather') return {tab: '#/weather', title: 'Weather', show: showWeather};
  if (parts[0] === 'phone') return {tab: '#/phone', title: 'This phone', show: m => showPhone(m, ends, () => go(false))};
  if (parts.length > 1 || !/^(walk)?$/.test(parts[0])) return {tab: '', title: 'Nothing here', show: showNothing};
  return {tab: '#/', title: 'Walk', show: showWalk};
}

function drawTabs(tab) {
  put(document.getElementById('tabs'), (ends ? [['#/', 'Visit'], ['#/phone', 'Phone']] : tabs).map(t => h('li', h('a', {href: t[0], 'aria-current': t[0] === tab ? 'page' : null}, t[1]))));
}

function drawStrip() {
  const strip = document.getElementById('strip'), open = waiting().length, no = refused().length;
  strip.hidden = !open && !no && !remarked.length && isKept();
  put(strip, !isKept() && h('p', 'This browser keeps nothing: leave the page open until all is sent.'),
    open > 0 && h('p', h('b', open + ' not sent yet')), open > 0 && h('button', {onclick: () => { say('Trying to send.'); flush(); }}, 'Send now'),
    no > 0 && h('p', h('a', {href: ends ? '#/phone' : '#/daybook'}, no + ' not taken: see why')),
    remarked.map(words => h('p.remark', words)),
    remarked.length > 0 && !ends && h('a', {href: '#/daybook'}, 'To the daybook'),
    remarked.length > 0 && h('button', {onclick: () => { remarked = []; drawStrip(); }}, 'Leave it'));
}

function failed(trouble, here) {
  if (!(trouble instanceof Trouble)) throw trouble;
  if (trouble.kind === 'stranger') return letIn(here, null, () => go(true));
  return put(here, h('h1', trouble.kind === 'away' ? 'No connection' : 'Not possible'), h('p', trouble.message),
    h('p', h('button.plain', {onclick: () => go(true)}, 'Try again')));
}

// Asked once a token; a phone without connection knows from last time.
let knownFor;
async function whoAmI() {
  if (!token() || knownFor === token()) return void (token() || (ends = null));
  try {
    const me = (await read('me')).answer, line = document.getElementById('back'), at = me.looks_back_at;
    ends = me.until;
    name = me.name;
    line.hidden = !at;
    document.body.classList.toggle('looks-back', Boolean(at));
    put(line, at && 'This is a look back at ' + longDate(dayOf(at)) + ' ' + at.slice(0, 4) + ', ' + clock(at) + ': nothing can be written here.');
    knownFor = token();
  } catch (trouble) {
    if (!(trouble instanceof Trouble)) throw trouble;
  }
}

async function go(moveFocus) {
  const mine = turn += 1;
  await whoAmI();
  if (mine !== turn) return;
  const wanted = route();
  const page = h('div.view', h('p', 'Fetching …'));
  drawTabs(wanted.tab);
  document.title = wanted.title + ', Tubgrove';
  put(main, page);
  if (moveFocus) window.scrollTo(0, 0);
  try {
    await wanted.show(page);
  } catch (trouble) {
    if (mine === turn) failed(trouble, page);
  }
  const heading = page.querySelector('h1');
  // Whoever has begun to write there is left in peace.
  if (mine === turn && moveFocus && heading && !page.contains(document.activeElement)) heading.focus({preventScroll: true});
}

// The link that `tubgrove pair` shows carries its code behind the #, which no server sees.
async function pairedByLink() {
  const found = /^#\/?pair[=/]([A-Za-z0-9-]+)$/.exec(location.hash);
  if (!found) return;
  history.replaceState(null, '', location.pathname);
  try {
    setToken((await ask('POST', 'pairings', {code: found[1]})).token);
  } catch (trouble) {
    say(trouble.message);
  }
}

onChange(event => {
  // What is odd about an entry that was taken, such as more litres than the pot can take up.
  if (event.sent && event.sent.about.kind !== 'round') remarked = remarked.concat((event.answer.remarks || []).map(r => sentence(r) + '.'));
  drawStrip();
  if (event.refused) say('Not taken: ' + event.message);
  if (event.sent && !all().length) say(remarked.concat('All sent.').join(' '));
  if (event.stopped && event.stopped.kind === 'stranger' && main.firstChild) letIn(main.firstChild, 'What was written down waits in this phone.', () => go(true));
});
document.getElementById('skip').addEventListener('click', event => { event.preventDefault(); main.focus(); });
window.addEventListener('hashchange', () => go(true));
document.addEventListener('visibilitychange', () => {
  // A phone taken from the pocket shows today's list, unless somebody is writing.
  if (!document.hidden && !/^(INPUT|SELECT|TEXTAREA)$/.test((document.activeElement || {}).tagName)) go(false);
});
if ('serviceWorker' in navigator && window.isSecureContext) {
  // The files of a first start came before there was a keeper; asked for once more, they are kept as well.
  if (!navigator.serviceWorker.controller)
    navigator.serviceWorker.addEventListener('controllerchange', () => own_files().forEach(url => fetch(url).catch(() => null)));
  navigator.serviceWorker.register('worker.js').catch(() => { /* a browser may refuse; the page works without */ });
}
drawStrip();
pairedByLink().then(() => go(false)).then(flush);
