// Which lines of a walk have their answer: from the daybook, and from what still waits in this phone.
import {all} from './outbox.js';

const water_actions = ['watered', 'ran-through', 'skipped'];
// What an entry says of its list; a visit is worked out anew each time, and no list was issued for it.
export function ofList(list) { return list.visit ? {} : {round: list.id}; }
export function walkOf(round) { return round.replace(/\.\d+$/, ''); }

function answers(entry, list) {
  if (water_actions.indexOf(entry.action) < 0) return false;
  if (entry.round && !list.visit) return walkOf(entry.round) === walkOf(list.id);
  return entry.when >= list.issued;  // same offset, so the text's order is the time's
}

// struck: entries that are struck, or will be once the phone has its connection.
export function struckOf(daybook) {
  const struck = {};
  daybook.struck.forEach(id => { struck[id] = true; });
  all().forEach(item => { if (item.about.kind === 'strike' && !item.refused) struck[item.about.entry] = true; });
  return struck;
}

// {pots: {id: {action, amount_l, when, entry} or {…, key}}, whole: the same for `round`, or null}
export function answersFor(list, daybook) {
  const found = {pots: {}, whole: null}, struck = struckOf(daybook);
  daybook.entries.forEach(entry => {
    if (struck[entry.id]) return;
    const told = {action: entry.action, amount_l: entry.values.amount_l, poured: entry.values.poured, when: entry.when, by: entry.by, entry: entry.id};
    if (entry.action === 'round' && walkOf(entry.round) === walkOf(list.id)) found.whole = told;
    if (answers(entry, list)) found.pots[entry.pot] = told;
  });
  all().forEach(item => {
    if (item.undone || item.refused || walkOf(item.about.round || '') !== walkOf(list.id)) return;
    const told = Object.assign({key: item.key, waits: true}, item.about.told);
    if (item.about.kind === 'water') found.pots[item.about.pot] = told;
    if (item.about.kind === 'round') found.whole = told;
  });
  return found;
}

// A written answer joins the daybook that the page holds, so that nothing need be fetched for it.
export function join(daybook, entries) {
  entries.forEach(entry => {
    if (daybook.entries.some(e => e.id === entry.id)) return;
    daybook.entries.push(entry);
    if (entry.strikes !== null) daybook.struck.push(entry.strikes);
  });
}
