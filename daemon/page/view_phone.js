// This phone: who it belongs to, units, an address for its calendar, and letting it in.
import {h, put, field, say} from './dom.js';
import {ask, setToken, token} from './server.js';
import {all, flush, onChange} from './outbox.js';
import {setSystem, system} from './units.js';
import {form, wrong} from './pencil.js';
import {unsent} from './view_daybook.js';

function radio(name, value, words, chosen, change) {
  const id = name + '-' + value;
  return h('div.tickbox', h('input', {type: 'radio', name, id, value, checked: chosen, onchange: () => change(value)}), h('label', {for: id}, words));
}

export function letIn(main, why, done) {
  const code = h('input', {autocomplete: 'one-time-code', autocapitalize: 'characters', size: 12});
  const send = async () => {
    const written = code.value.replace(/\s/g, '');
    if (!written) return wrong(code, 'Nothing is written there.');
    try {
      const answer = await ask('POST', 'pairings', {code: written});
      setToken(answer.token);
      flush();
      done();
    } catch (trouble) {
      wrong(code, trouble.message);
    }
    return undefined;
  };
  put(main, h('h1', 'Let this phone in'), why && h('p', why),
    h('p', 'On the machine where Tubgrove runs, type ', h('b', 'tubgrove pair'), '. It shows a code that works once.'),
    h('div.pencil', form([field('Code', code), h('button', {type: 'submit', class: 'plain'}, 'Let in')], send)));
}

// The address is told once, since the machine keeps only a digest of its token.
function calendar() {
  const place = h('div');
  const get = async () => {
    try {
      const link = new URL('.' + (await ask('POST', 'calendars', {})).path, location.origin + location.pathname).href;
      put(place, h('p', 'Subscribe to this address in the calendar program. Whoever knows it reads walks and care, and nothing else.'),
        field('Address of the calendar', h('input', {type: 'url', readonly: true, value: link, onfocus: event => event.target.select()})),
        h('p', h('a', {href: link.replace(/^http/, 'webcal')}, 'Open in the calendar program')));
      place.querySelector('input').focus();
    } catch (trouble) {
      say(trouble.message);
      put(place, h('p', trouble.message));
    }
  };
  return h('section', h('h2', 'Calendar'), h('p', 'Walks and care can show in this phone\u2019s calendar.'),
    h('p', h('button.plain', {onclick: get}, 'Get an address for it')), place);
}

// A helper, who is not shown the daybook, finds here what waits and what was not taken.
const waits = h('div');
let helps = false;
function drawWaits() {
  const count = all().length;
  put(waits, h('p', !count ? 'Everything is sent.' : count + ' not sent yet' + (helps ? '.' : '; the daybook lists them.')), helps && unsent());
}
onChange(() => { if (document.body.contains(waits)) drawWaits(); });

// `ends`: when this phone's token ends, as a helper's does.
export async function showPhone(main, ends, again) {
  let who = null;
  try { who = await ask('GET', 'me'); } catch (trouble) { if (trouble.kind === 'stranger') throw trouble; }
  helps = Boolean(ends);
  drawWaits();
  put(main, h('h1', 'This phone'),
    h('p', who ? (who.name ? 'What is written here is written by ' + who.name + '.' : 'What is written here is written by the gardener.') : 'No connection.'),
    waits,
    h('fieldset', h('legend', 'Amounts'), radio('units', 'metric', 'Litres, millimetres, °C', system() === 'metric', v => { setSystem(v); again(); }),
      radio('units', 'us', 'US quarts and gallons, inches, °F', system() === 'us', v => { setSystem(v); again(); })),
    who && !helps && calendar(),
    token() && h('p', h('button.plain', {onclick: () => { setToken(null); again(); }}, 'Forget this phone\u2019s token')),
    h('p.needs', 'A lost phone is shut out on the machine: tubgrove pair shows how.'));
}
