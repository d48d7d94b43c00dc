// The page as a grower meets it, in a real browser: a whole morning on a small phone with a lost connection and a double
// tap, every view through a checker of accessibility in light and dark, the keyboard alone, large text, paper, weight.
// node page_test.mjs PROGRAM CHROMIUM NODE_MODULES
import assert from 'node:assert/strict';
import {spawnSync} from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import {after, before, describe, it} from 'node:test';
import {acorn, axe_source, Garden, morning, openBrowser, phone} from './page_garden.mjs';

const page_folder = new URL('../daemon/page/', import.meta.url).pathname;
const views = ['#/', '#/why/7', '#/jobs', '#/pots', '#/pots/7', '#/year/7', '#/daybook', '#/weather', '#/phone', 'sheet.html', 'labels'];
let browser;
before(async () => { browser = await openBrowser(); });
after(() => browser.close());

function files() { return fs.readdirSync(page_folder).map(name => ({name, text: fs.readFileSync(path.join(page_folder, name), 'utf8')})); }

// A garden that is served, and a phone that shows its list.
async function aMorning() {
  const garden = await new Garden().make().serve(), page = await phone(browser, garden);
  await page.view('');
  return [garden, page];
}
async function ended(garden, page) {
  await page.context().close();
  await garden.end();
}

describe('the files', () => {
  it('are JavaScript that a browser of 2017 reads', () => {
    files().filter(f => f.name.endsWith('.js')).forEach(f => acorn.parse(f.text, {ecmaVersion: 2017, sourceType: 'module'}));
    assert.throws(() => acorn.parse('const a = b?.c;', {ecmaVersion: 2017, sourceType: 'module'}));
  });
  it('never turn text into markup, and fetch nothing from elsewhere', () => {
    files().forEach(file => {
      assert.doesNotMatch(file.text, /innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function/, file.name);
      assert.doesNotMatch(file.text.replace(/http:\/\/www\.w3\.org\/[a-z0-9/]+/g, ''), /https?:\/\//, file.name);
    });
  });
});

describe('a morning', () => {
  let garden, page;
  const line = pot => page.locator('#line-' + pot);
  const written = () => garden.daybook().entries.filter(e => e.when >= '2026-07-14');
  const sent = () => page.waitForFunction(() => document.getElementById('strip').hidden);
  before(async () => { [garden, page] = await aMorning(); });
  after(() => ended(garden, page));

  it('weighs less than 100 kB before compression', async () => {
    const files = page.lines.filter((l, i, all) => !l.path.startsWith('/api/') && all.findIndex(other => other.path === l.path) === i);
    const bytes = (await Promise.all(files.map(l => l.answer.body()))).reduce((sum, body) => sum + body.length, 0);
    console.log('# the page weighs ' + bytes + ' bytes in ' + files.length + ' files');
    assert.ok(files.some(l => l.path === '/app.js') && files.some(l => l.path === '/page.css') && bytes < 100000, bytes + ' bytes');
  });

  it('is served smaller than it lies in the folder, each script with all that it imports, and styles by the same rules', async () => {
    const parsed = text => acorn.parse(text, {ecmaVersion: 2017, sourceType: 'module'}).body;
    const imports = text => parsed(text).filter(node => node.type === 'ImportDeclaration').map(node => node.source.value.replace('./', ''));
    const texts = Object.fromEntries(files().map(file => [file.name, file.text]));
    const reached = name => new Set([name].concat(...imports(texts[name]).map(from => Array.from(reached(from)))));
    const parts = new Set([].concat(...files().filter(file => file.name.endsWith('.js')).map(file => imports(file.text))));
    const rules = text => page.evaluate(given => {
      const sheet = new CSSStyleSheet();
      sheet.replaceSync(given);
      const said = rule => (rule.style ? rule.selectorText + ' ' + Array.from(rule.style).sort().map(name => name + ': ' + rule.style.getPropertyValue(name).trim()) : [rule.conditionText || rule.cssText].concat(Array.from(rule.cssRules || []).map(said)).join('; '));
      return Array.from(sheet.cssRules).map(said);
    }, text);
    for (const file of files()) {
      const answer = await page.request.get(garden.base + file.name), served = await answer.text(), kind = file.name.replace(/.*\./, '');
      if (parts.has(file.name)) { assert.equal(answer.status(), 404, file.name); continue; }
      if (kind === 'css') assert.deepEqual(await rules(served), await rules(file.text), file.name);
      else if (kind !== 'js') assert.equal(served, file.text, file.name);
      const whole = kind === 'js' ? Array.from(reached(file.name)).map(name => texts[name]).join('') : file.text;
      if (kind === 'js') assert.deepEqual(parsed(served).filter(node => /^Import/.test(node.type)), [], file.name);
      if (kind === 'js' || kind === 'css') assert.ok(served.length < 0.9 * whole.length && served.length > 0.3 * whole.length, file.name);
    }
    assert.deepEqual(['app.js', 'sheet.js', 'worker.js'].filter(name => parts.has(name)), []);
    assert.deepEqual(Object.keys(texts).filter(name => name.endsWith('.js') && !reached('app.js').has(name) && !reached('sheet.js').has(name)), ['worker.js']);
  });

  it('opens with the list in walking order, and with yesterday\'s question', async () => {
    assert.match(await page.locator('h1').textContent(), /Tuesday 14 July, morning/);
    assert.deepEqual(await page.locator('.lines .tag').allTextContents(), ['1', 'lemon', '7', '8']);
    assert.match(await page.locator('.asked h2').textContent(), /all, some or none/i);
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth), 375);
  });

  it('takes the answer to the question once, however often it is tapped', async () => {
    await page.locator('.asked button', {hasText: 'All'}).dblclick();
    await page.locator('.asked').waitFor({state: 'detached'});
    assert.deepEqual(written().map(e => [e.action, e.round, e.values.poured]), [['round', '2026-07-13-morning', 'all']]);
  });

  it('a double tap is one entry, and ticks no other pot', async () => {
    await line('7').locator('button', {hasText: 'Gave'}).dblclick();
    await line('7').locator('.answer').waitFor();
    await sent();
    assert.deepEqual(written().filter(e => e.action === 'watered').map(e => e.pot), ['7']);
    assert.equal(await page.locator('.line.answered').count(), 1);
  });

  it('without connection, three ticks wait in the phone, also over a new start of the page', async () => {
    await page.context().route('**/api/v1/**', route => route.abort());
    await line('1').locator('button', {hasText: 'Ran through'}).tap();
    await page.waitForTimeout(700);
    await line('8').locator('button', {hasText: 'Other'}).tap();
    await line('8').locator('input[inputmode=decimal]').first().fill('3,5');
    await line('8').locator('button', {hasText: 'Write down'}).first().tap();
    await page.waitForTimeout(700);
    await line('lemon').locator('button', {hasText: 'Other'}).tap();
    await line('lemon').locator('button', {hasText: 'Barely moist'}).tap();
    await page.locator('#strip', {hasText: '3 not sent yet'}).waitFor();
    assert.match(await line('8').locator('.answer').textContent(), /gave 3.5\sL not sent yet/);
    await page.reload();
    await page.locator('#strip', {hasText: '3 not sent yet'}).waitFor();
    assert.match(await line('8').locator('.answer').textContent(), /gave 3.5/);
    assert.match(await page.locator('.old').textContent(), /No connection/);
    assert.deepEqual(written().filter(e => e.pot === '8'), []);
  });

  it('sends them once when the connection is back, although an answer was lost on the way', async () => {
    let lost = 0;
    await page.context().unroute('**/api/v1/**');
    await page.context().route('**/api/v1/entries', async route => {
      if (lost++ > 0) return route.continue();
      await route.fetch();  // the service writes it down; the phone never hears so
      return route.abort();
    });
    await page.locator('#strip button', {hasText: 'Send now'}).tap();
    await page.waitForTimeout(500);
    await page.locator('#strip button', {hasText: 'Send now'}).tap().catch(() => {});
    await sent();
    await page.context().unroute('**/api/v1/entries');
    assert.ok(lost > 3, 'sent ' + lost + ' times');
    const found = written().filter(e => ['1', '8', 'lemon'].includes(e.pot)).map(e => [e.pot, e.action, e.values.amount_l || e.values.class || null, e.round]);
    const round = found[0][3];
    assert.match(round, /^2026-07-14-morning/);
    assert.deepEqual(found, [['1', 'ran-through', null, round], ['8', 'watered', 3.5, round], ['lemon', 'felt', 'barely-moist', round]]);
  });

  it('tells when it was done, if it is sent later', async () => {
    await page.context().route('**/api/v1/entries', route => route.abort());
    await line('8').locator('button', {hasText: 'Other'}).tap();
    await line('8').locator('button', {hasText: 'Dry'}).tap();
    await page.locator('#strip', {hasText: '1 not sent yet'}).waitFor();
    await page.evaluate(() => {
      const items = JSON.parse(localStorage['tubgrove.outbox']);
      items[0].made = Date.parse('2026-07-14T07:01:00+02:00');
      delete items[0].body.when;
      localStorage['tubgrove.outbox'] = JSON.stringify(items);
    });
    await page.context().unroute('**/api/v1/entries');
    await page.locator('#strip button', {hasText: 'Send now'}).tap();
    await sent();
    assert.equal(written().find(e => e.action === 'felt' && e.pot === '8').when, '2026-07-14T07:01:00+02:00');
  });

  it('takes a tick back: struck, not erased', async () => {
    await line('8').locator('button', {hasText: 'Take back'}).tap();
    await sent();
    await line('8').locator('button', {hasText: 'Gave'}).waitFor();
    const daybook = garden.daybook(), entry = daybook.entries.find(e => e.pot === '8' && e.action === 'watered');
    assert.deepEqual(daybook.struck, [entry.id]);
  });

  it('refuses what is no amount, in words and beside the field, and writes nothing', async () => {
    const before = written().length;
    await line('8').locator('button', {hasText: 'Other'}).tap();
    for (const wrong of ['', 'two', '1.2.3', '-1', '0']) {
      await line('8').locator('input[inputmode=decimal]').first().fill(wrong);
      await line('8').locator('button', {hasText: 'Write down'}).first().tap();
      assert.match(await line('8').locator('[role=alert]').textContent(), /Right would be/);
    }
    assert.equal(await line('8').locator('input[aria-invalid=true]').count(), 1);
    assert.equal(written().length, before);
  });

  it('asks about more than the pot can take up, which is written down all the same', async () => {
    await line('8').locator('input[inputmode=decimal]').first().fill('300');
    await line('8').locator('button', {hasText: 'Write down'}).first().tap();
    await page.locator('#strip', {hasText: /300\sL is more than a pot of 45\sL can take up.* strike \d+/}).waitFor();
    assert.equal(written().filter(e => e.pot === '8' && e.values.amount_l === 300).length, 1);
    await page.locator('#strip button', {hasText: 'Leave it'}).tap();
    await sent();
    await line('8').locator('button', {hasText: 'Take back'}).tap();
    await sent();
    await line('8').locator('button', {hasText: 'Other'}).tap();
  });

  it('shows in words what the service refuses, and keeps it to be looked at', async () => {
    await page.context().route('**/api/v1/entries', route => route.fulfill({status: 422, contentType: 'application/problem+json',
      body: JSON.stringify({type: 'about:blank', title: 'no', status: 422, detail: '<b>no</b> such pot', right: 'another'})}));
    await line('8').locator('input[inputmode=decimal]').first().fill('2.5');
    await line('8').locator('button', {hasText: 'Write down'}).first().tap();
    await page.locator('#strip a', {hasText: '1 not taken'}).tap();
    await page.locator('.wrong', {hasText: '<b>no</b> such pot. Right would be: another'}).waitFor();
    await page.context().unroute('**/api/v1/entries');
    await page.locator('button', {hasText: 'Throw away'}).tap();
    await sent();
  });

  it('shows the jobs of a list with reason and caution, and writes the entry that answers one', async () => {
    const list = JSON.parse(garden.run(morning, '--json', 'round'));
    const part = (id, answer) => ({id, rule: 'stake', title: 'Look at stakes', pot: id.split('.')[0], label: '', bay: 'steps', answer});
    list.jobs = [{title: 'Look at stakes', what: 'loosen what bites', rank: 3, minutes: 6, opens: '2026-07-14', due: '2026-07-14', closes: '2026-07-18',
      because: [{code: 'gale', values: {}, text: 'gusts were read'}], caution: ['Not on a ladder in wind.'], source: 'x', parts: [part('7.stake.1', 'did 7 stake-checked'), part('8.stake.1', 'did 8 weighed')]}];
    await page.context().route('**/api/v1/round*', route => route.fulfill({json: list}));
    await page.view('#/pots');
    await page.view('#/');
    await page.locator('.jobs', {hasText: 'Loosen what bites'}).waitFor();
    assert.match(await page.locator('.jobs').textContent(), /Gusts were read\..*Loosen what bites\..*Until Saturday, about 6 min\..*Care\. Not on a ladder in wind\./);
    assert.equal(await page.locator('.jobs .box').count(), 1, 'what needs an amount has no box');
    await page.locator('.jobs .box').dblclick();
    await sent();
    await page.context().unroute('**/api/v1/round*');
    assert.deepEqual(written().filter(e => e.action === 'stake-checked').map(e => e.pot), ['7']);
  });

  it('keeps what is typed of a job while a pot is ticked above it, and shows its answer at once', async () => {
    const list = JSON.parse(garden.run(morning, '--json', 'round'));
    list.jobs = [{title: 'Weigh it', what: 'weigh it', rank: 3, minutes: 6, opens: '2026-07-14', due: '2026-07-14', closes: '2026-07-18', because: [], caution: [], source: 'x',
      parts: [{id: '8.weigh.1', rule: 'weigh', title: 'Weigh it', pot: '8', label: '', bay: 'steps', answer: 'did 8 weighed'}]}];
    await page.context().route('**/api/v1/round*', route => route.fulfill({json: list}));
    await page.view('#/pots');
    await page.view('#/');
    await page.locator('.jobs button', {hasText: 'Pot 8 done'}).tap();
    const typed = page.locator('.jobs input');
    await typed.fill('12,5');
    await line('8').locator('button', {hasText: 'Gave'}).tap();
    await line('8').locator('.answer').waitFor();
    await sent();
    assert.equal(await typed.inputValue(), '12,5');
    assert.equal(await page.locator('.jobs button', {hasText: 'Pot 8 done'}).getAttribute('aria-expanded'), 'true');
    await typed.press('Enter');
    await page.locator('.jobs .done').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Take back');
    await sent();
    assert.deepEqual(written().filter(e => e.action === 'weighed').map(e => [e.pot, e.values.mass_kg]), [['8', 12.5]]);
    // What was written down is no draft any more.
    await page.waitForTimeout(700);
    await page.locator('.jobs button', {hasText: 'Take back'}).tap();
    await page.locator('.jobs .done').waitFor({state: 'detached'});
    await page.locator('.jobs button', {hasText: 'Pot 8 done'}).tap();
    assert.equal(await typed.inputValue(), '');
    await page.waitForTimeout(700);
    await line('8').locator('button', {hasText: 'Take back'}).tap();
    await sent();
    await page.context().unroute('**/api/v1/round*');
  });

  it('keeps what is typed of one job while another is answered', async () => {
    const jobs = JSON.parse(garden.run(morning, '--json', 'jobs')).jobs.filter(j => ['due', 'this week', 'in season'].includes(j.state) && /^did \S+ (stake-checked|weeded|shoots-removed|holes-checked|looked \S+|tie-loosened)$/.test(j.answer));
    const [first, second] = jobs, unfold = () => page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
    await page.view('#/jobs');
    await unfold();
    await page.getByLabel('Other, ' + first.title + ', pot ' + first.pot, {exact: true}).tap();
    await page.getByLabel('Left out this time, because').fill('a wall');
    await page.waitForTimeout(700);
    await page.getByLabel('Pot ' + second.pot + ' done: ' + second.title, {exact: true}).tap();
    const back = page.getByLabel('Take back, ' + second.title + ', pot ' + second.pot, {exact: true});
    await back.waitFor();
    assert.equal(await page.getByLabel('Left out this time, because').inputValue(), 'a wall');
    assert.equal(await page.evaluate(() => document.activeElement.textContent), 'Take back');
    await page.waitForTimeout(700);
    await back.tap();
    await sent();
    await page.getByLabel('Other, ' + first.title + ', pot ' + first.pot, {exact: true}).tap();
    assert.equal(await page.getByLabel('Left out this time, because').isVisible(), false);
  });

  it('shows all jobs, and takes done, wait and drop from the phone, also without connection', async () => {
    const jobs = () => JSON.parse(garden.run(morning, '--json', 'jobs')).jobs;
    const one = id => jobs().find(j => j.id === id);
    const simple = jobs().filter(j => ['due', 'this week', 'in season'].includes(j.state) && /^did \S+ (stake-checked|weeded|shoots-removed|holes-checked|looked \S+|tie-loosened)$/.test(j.answer) && j.closes > '2026-07-16');
    assert.ok(simple.length > 2, 'jobs to answer: ' + jobs().map(j => j.id + ' ' + j.state + ' ' + j.answer).join('; '));
    const [first, second, third] = simple;
    await page.view('#/jobs');
    await page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
    const named = (job, words) => page.getByLabel(words + job.title + ', pot ' + job.pot, {exact: true});
    const open = jobs().filter(j => ['due', 'this week', 'in season'].includes(j.state));
    assert.equal(await page.locator('ul.jobs > li').count(), new Set(open.map(j => j.state + j.rule)).size, 'one card a job');
    for (const job of [first, second, third]) assert.match(await page.locator('main').textContent(), new RegExp(job.what.slice(1, 20).replace(/[?.()]/g, '.')));
    await page.context().route('**/api/v1/**', route => route.abort());
    await page.waitForTimeout(700);
    await page.getByLabel('Pot ' + first.pot + ' done: ' + first.title, {exact: true}).tap();
    await page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
    await named(first, 'Take back, ').waitFor();
    await page.waitForTimeout(700);
    await named(second, 'Other, ').tap();
    await page.locator('button', {hasText: 'Let it wait'}).tap();
    assert.match(await page.locator('[role=alert]').textContent(), /A day is needed/);
    await page.locator('.pencil input[type=date]').fill('2026-07-16');
    await page.locator('button', {hasText: 'Let it wait'}).tap();
    await page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
    await page.waitForTimeout(700);
    await named(third, 'Other, ').tap();
    await page.getByLabel('Left out this time, because').fill('a wall holds it');
    await page.locator('button', {hasText: 'Leave it out'}).tap();
    await page.locator('#strip', {hasText: '3 not sent yet'}).waitFor();
    assert.notEqual(one(first.id).state, 'done');
    await page.context().unroute('**/api/v1/**');
    await page.locator('#strip button', {hasText: 'Send now'}).tap();
    await sent();
    await page.view('#/pots');
    assert.deepEqual([one(first.id).state, one(second.id).state, one(second.id).waits_until, one(third.id).state, one(third.id).told], ['done', 'waiting', '2026-07-16', 'dropped', 'a wall holds it']);
    await page.view('#/jobs');
    await page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
    assert.match(await page.locator('main').textContent(), /Waits until Thursday.*Done, entry \d+.*Left out: a wall holds it/);
    await named(first, 'Take back, ').tap();
    await sent();
    assert.notEqual(one(first.id).state, 'done');
  });

  it('shows a year in words and as a strip', async () => {
    await page.view('#/pots/7');
    await page.locator('a', {hasText: 'The year'}).tap();
    await page.locator('h1', {hasText: 'the year'}).waitFor();
    const year = JSON.parse(garden.run(morning, '--json', 'season', '7'));
    const text = await page.locator('main').textContent();
    for (const stage of year.stages) assert.match(text, new RegExp(stage.stage.replace(/-/g, ' '), 'i'));
    assert.equal(await page.locator('.window').count(), year.jobs.length);
    assert.equal(await page.locator('.year li').count(), year.stages.length + new Set(year.jobs.map(j => j.rule)).size);
    assert.match(text, /\d+ \w+ to \d+ \w+, ahead/);
    assert.match(text, /\d+ passed/);
    assert.doesNotMatch(text, /missed/);
    const out = await page.evaluate(() => Array.from(document.querySelectorAll('.track span')).filter(n => {
      const a = n.getBoundingClientRect(), b = n.parentNode.getBoundingClientRect();
      return a.left < b.left - 1 || a.right > b.right + 12;
    }).length);
    assert.equal(out, 0, 'marks lie on their track');
  });

  it('strikes in the daybook after asking once more', async () => {
    await page.view('#/daybook');
    const entry = garden.daybook().entries.find(e => e.action === 'felt');
    await page.locator('#strike-' + entry.id).tap();
    await page.locator('#sure-' + entry.id).tap();
    await sent();
    assert.ok(garden.daybook().struck.includes(entry.id));
    await page.locator('.entry.struck', {hasText: 'felt'}).waitFor();
  });

  it('adds a pot, changes a fact, and says where each comes from', async () => {
    await page.view('#/pots');
    await page.locator('button', {hasText: 'Add a pot'}).tap();
    await page.getByLabel('Number or name on its label').fill('12');
    await page.getByLabel('Size, L as on the rim').fill('25');
    await page.getByLabel('Species').selectOption('pear');
    await page.getByLabel('Rootstock').selectOption({index: 1});
    await page.getByLabel('Planted').fill('2024-11-16');
    await page.locator('button', {hasText: 'Add the pot'}).tap();
    await page.locator('h1', {hasText: 'Pot 12'}).waitFor();
    await page.getByLabel('Change pot: size').tap();
    await page.locator('.fact input[type=text]').fill('50 L');
    await page.locator('.fact button', {hasText: 'Write down'}).tap();
    await page.locator('.fact', {hasText: '50 L'}).waitFor();
    assert.match(await page.locator('.fact', {hasText: '50 L'}).textContent(), /written, holds since 14 July 2026, entry \d+/);
    const shown = JSON.parse(garden.run(morning, '--json', 'pot', 'show', '12'));
    assert.equal(shown.facts.find(f => f.key === 'container.size').value, '50 L');
  });

  it('takes a day\'s weather by hand, with a comma', async () => {
    await page.view('#/weather');
    await page.locator('#hand-max').fill('33,5');
    await page.locator('#hand-min').fill('18');
    await page.locator('button', {hasText: 'Write down'}).tap();
    await sent();
    const day = JSON.parse(garden.run(morning, '--json', 'weather', 'show', '--from', '2026-07-14', '--to', '2026-07-14')).days[0];
    assert.equal(day.air_temperature_max_degC.value, 33.5);
  });

  it('says how each source of weather is doing', async () => {
    const source = more => Object.assign({way: 'fetched', failing: false, last_success: null, last_error: null, error: null, next: null, connected: null,
                                          fresh: 0, same: 0, changed: 0, refused: 0}, more);
    const sources = [
      source({name: 'roof', last_success: '2026-07-14T06:05:10+02:00', fresh: 12, same: 3, next: '2026-07-14T07:06:00+02:00'}),
      source({name: 'gauge', way: 'messages', connected: false, failing: true, last_success: '2026-07-13T22:10:00+02:00', last_error: '2026-07-14T03:00:00+02:00', error: 'broker.lan: <b>no</b> route'}),
      source({name: '/srv/drop', way: 'folder'})];
    await page.route('**/api/v1/sources', route => route.fulfill({contentType: 'application/json', body: JSON.stringify({sources})}));
    await page.view('#/');
    await page.view('#/weather');
    await page.locator('.sources').waitFor();
    const told = await page.locator('.sources li').allTextContents();
    assert.deepEqual(told, [
      'roof, fetched. Last came today 06:05, 12 new. Asked again today 07:06.',
      'gauge, comes as messages. Nothing comes in now. Last came yesterday 22:10, nothing new. Last trouble today 03:00: broker.lan: <b>no</b> route. ',
      '/srv/drop, a folder for files. Nothing has come yet. ']);
    await page.unroute('**/api/v1/sources');
  });

  it('in US units shows quarts, and sends them with their unit', async () => {
    await page.view('#/phone');
    await page.getByLabel(/US quarts/).check();
    await page.view('#/');
    assert.match(await line('8').locator('.litres').textContent(), /qt$/);
    await line('8').locator('button', {hasText: 'Other'}).tap();
    await line('8').locator('input[inputmode=decimal]').first().fill('2');
    await line('8').locator('button', {hasText: 'Write down'}).first().tap();
    await sent();
    const entry = written().filter(e => e.pot === '8' && e.action === 'watered').pop();
    assert.equal(entry.values.amount_l, 1.89);
    for (const view of ['#/', '#/why/7', '#/jobs', '#/pots', '#/pots/7', '#/year/7', '#/weather']) {
      await page.view(view);
      await page.waitForTimeout(200);
      const text = await page.evaluate(() => document.querySelector('main').innerText);
      assert.deepEqual(text.match(/[^\n]*\d[ \u00a0]?(L|mm|cm|kg|m\/s|m²|m2|m|degC|°C)(?![A-Za-z\/0-9])[^\n]*/g), null, view);
    }
    await page.view('#/phone');
    await page.getByLabel(/Litres/).check();
  });

  it('shows the days ahead that somebody has forecast', async () => {
    await page.view('#/weather');
    assert.match(await page.locator('main').textContent(), /No forecast of the days to come/);
    const rows = [15, 16, 17].map(d => '2026-07-' + d + ',' + (20 + d) + ',' + d + ',' + (d === 16 ? 4 : 0)).join('\n');
    fs.writeFileSync(path.join(garden.folder, 'ahead.csv'), 'day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm]\n' + rows + '\n');
    garden.run(morning, 'weather', 'add', 'ahead.csv', '--forecast', '--issued', '2026-07-14T05:00:00+02:00');
    await page.view('#/pots');
    await page.view('#/weather');
    assert.match(await page.locator('main').textContent(), /Hottest on Friday 17 July with 37.°C; 4.mm of rain in 3 days/);
    assert.equal(await page.locator('section', {hasText: 'Days ahead'}).locator('tbody tr').count(), 3);
  });

  it('starts again without any connection, where browsers allow it, and sends when it is back', async () => {
    const other = await phone(browser, garden, {serviceWorkers: 'allow'});
    await other.view('');
    // All that the page runs on, not only most of it: a file that is missing would keep it from starting.
    await other.waitForFunction(async () => {
      const kept = (await (await caches.open('tubgrove-page')).keys()).map(one => one.url);
      return performance.getEntriesByType('resource').map(r => r.name).filter(n => /\.(js|css)$/.test(n)).every(n => kept.includes(n)) && kept.length > 18;
    });
    await other.context().setOffline(true);
    await other.reload();
    assert.match(await other.locator('.old').textContent(), /No connection/);
    await other.locator('#line-1 button', {hasText: 'Other'}).tap();
    await other.locator('#line-1 button', {hasText: 'Wet'}).tap();
    await other.reload();
    await other.locator('#strip', {hasText: '1 not sent yet'}).waitFor();
    await other.context().setOffline(false);
    await other.waitForFunction(() => document.getElementById('strip').hidden);
    assert.deepEqual(written().filter(e => e.pot === '1' && ['ran-through', 'felt'].includes(e.action)).map(e => e.action), ['ran-through', 'felt']);
    assert.deepEqual(other.faults, []);
    await other.context().close();
  });

  it('met no fault on the way', () => { assert.deepEqual(page.faults, []); });
});

describe('what is written without connection, and with a unit', () => {
  let garden, page;
  const line = pot => page.locator('#line-' + pot);
  const written = pot => garden.daybook().entries.filter(e => e.when >= '2026-07-14' && e.pot === pot && e.action !== 'round');
  const sent = () => page.waitForFunction(() => document.getElementById('strip').hidden);
  const other = async (pot, field, amount) => {
    if (!await line(pot).locator('.opened:not([hidden])').count()) await line(pot).locator('button', {hasText: 'Other'}).tap();
    await line(pot).getByLabel(field).fill(amount);
    await line(pot).locator('form', {has: page.getByLabel(field)}).locator('button', {hasText: 'Write down'}).tap();
  };
  before(async () => { [garden, page] = await aMorning(); });
  after(() => ended(garden, page));

  it('keeps every amount of a pot, as it would with a connection: a tick, then another, then the same again later', async () => {
    const listed = JSON.parse(garden.run(morning, '--json', 'round')).pours.find(p => p.pot === '7').pour_l;
    await page.context().setOffline(true);
    await line('7').locator('button', {hasText: 'Gave'}).tap();
    await line('7').locator('.answer').waitFor();
    await other('7', /Gave another amount/, '1');
    await page.locator('#said', {hasText: 'Pot 7: written down.'}).waitFor({state: 'attached'});
    await page.locator('#strip', {hasText: '2 not sent yet'}).waitFor();
    await page.waitForTimeout(2000);
    await other('7', /Gave another amount/, '1');
    await page.locator('#strip', {hasText: '3 not sent yet'}).waitFor();
    await page.context().setOffline(false);
    await page.locator('#strip button', {hasText: 'Send now'}).tap({timeout: 2000}).catch(() => {});
    await sent();
    assert.deepEqual(written('7').map(e => [e.action, e.values.amount_l]), [['watered', listed], ['watered', 1], ['watered', 1]]);
  });

  it('is not kept from writing by what was refused before', async () => {
    await page.context().route('**/api/v1/entries', route => route.fulfill({status: 422, contentType: 'application/problem+json',
      body: JSON.stringify({type: 'about:blank', title: 'no', status: 422, detail: 'no', right: 'another'})}));
    await line('1').locator('button', {hasText: 'Gave'}).tap();
    await page.locator('#strip a', {hasText: '1 not taken'}).waitFor();
    await page.context().unroute('**/api/v1/entries');
    await page.waitForTimeout(2000);
    await line('1').locator('button', {hasText: 'Gave'}).tap();
    await line('1').locator('.answer small', {hasText: /\d\d:\d\d/}).waitFor();
    assert.equal(written('1').length, 1);
    await page.evaluate(() => { localStorage.removeItem('tubgrove.outbox'); });
  });

  it('a tick in a window that does not know of the other\'s is told, not counted twice', async () => {
    await page.context().route('**/api/v1/entries', route => route.abort());
    const second = await page.context().newPage();
    await second.goto(garden.base);
    await second.locator('#line-lemon button', {hasText: 'Gave'}).waitFor();
    await page.bringToFront();
    await page.waitForTimeout(700);
    await line('lemon').locator('button', {hasText: 'Gave'}).tap();
    await line('lemon').locator('.answer').waitFor();
    await second.bringToFront();
    await second.locator('#line-lemon button', {hasText: 'Gave'}).tap();
    await second.locator('#said', {hasText: 'Pot lemon is answered already; take that back first.'}).waitFor({state: 'attached'});
    await second.close();
    await page.context().unroute('**/api/v1/entries');
    await page.locator('#strip button', {hasText: 'Send now'}).tap({timeout: 2000}).catch(() => {});
    await sent();
    assert.equal(written('lemon').length, 1);
  });

  it('takes a unit as it is meant, and refuses in words what it does not know', async () => {
    const last = async pot => { await sent(); return written(pot).pop().values; };
    await other('8', /Gave another amount/, '500 ml');
    await line('8').locator('.answer', {hasText: /gave 0.5.L \d\d:\d\d/}).waitFor();
    assert.equal((await last('8')).amount_l, 0.5);
    await other('8', /Gave another amount/, '1,5L');
    await line('8').locator('.answer', {hasText: /gave 1.5.L \d\d:\d\d/}).waitFor();
    assert.equal((await last('8')).amount_l, 1.5);
    await other('8', 'Weighed', '31400 g');
    assert.equal((await last('8')).mass_kg, 31.4);
    const before = written('8').length;
    // A quart and a gallon differ between countries; a weight is no volume.
    for (const wrong of ['2 gal', '1 qt', '2.5 kg', '3 cans', '1 constructor']) {
      await other('8', /Gave another amount/, wrong);
      assert.match(await line('8').locator('[role=alert]').textContent(), /^Not an amount in L\. Right would be: 2\.5 or 2,5\.$/, wrong);
    }
    await other('8', 'Weighed', '3 L');
    assert.match((await line('8').locator('[role=alert]').allTextContents()).pop(), /^Not an amount in kg\./);
    assert.equal(written('8').length, before);
  });

  it('keeps what is typed when the list is drawn anew meanwhile', async () => {
    let go;
    const held = new Promise(yes => { go = yes; });
    await page.view('#/pots');
    await page.context().route('**/api/v1/round*', async route => { await held; return route.continue(); });
    await page.view('#/');
    if (!await line('8').locator('.opened:not([hidden])').count()) await line('8').locator('button', {hasText: 'Other'}).tap();
    await line('8').getByLabel(/Gave another amount/).fill('1,25');
    await line('8').getByLabel('and it ran through').check();
    await line('8').getByLabel('Note').fill('a dry corner');
    const first = await line('8').elementHandle();
    go();
    await page.waitForFunction(old => !document.contains(old), first);
    assert.equal(await line('8').getByLabel(/Gave another amount/).inputValue(), '1,25');
    assert.equal(await line('8').getByLabel('and it ran through').isChecked(), true);
    assert.equal(await line('8').getByLabel('Note').inputValue(), 'a dry corner');
    assert.equal(await page.evaluate(() => document.activeElement.id), 'note-8');
    await page.context().unroute('**/api/v1/round*');
    await line('8').locator('button', {hasText: 'Write down'}).first().tap();
    await line('8').locator('.answer', {hasText: /ran through after 1.25.L \d\d:\d\d/}).waitFor();
    const entry = written('8').pop();
    assert.deepEqual([entry.action, entry.values.amount_l], ['ran-through', 1.25]);
    // Another one begins with what is listed.
    await line('8').locator('button', {hasText: 'Other'}).tap();
    assert.notEqual(await line('8').getByLabel(/Gave another amount/).inputValue(), '1,25');
    await line('8').locator('button', {hasText: 'Close'}).tap();
  });

  it('in US units knows quarts, gallons and litres', async () => {
    await page.view('#/phone');
    await page.getByLabel(/US quarts/).check();
    await page.view('#/');
    for (const [text, litres] of [['1', 0.946352946], ['1 gal', 3.785411784], ['1 L', 1], ['500ml', 0.5]]) {
      await other('8', /Gave another amount/, text);
      await line('8').locator('.opened').waitFor({state: 'hidden'});
      await sent();
      // UDUNITS-2's own table: a US liquid gallon is 231 cubic inches, a quart a quarter of it.
      assert.ok(Math.abs(written('8').pop().values.amount_l - litres) < 0.006, text);
    }
    await page.view('#/phone');
    await page.getByLabel(/Litres/).check();
  });

  it('met no fault on the way', () => { assert.deepEqual(page.faults, []); });
});

describe('each view', () => {
  let garden;
  before(async () => {
    garden = await new Garden().make().serve();
    garden.run(morning, 'did', '1', 'watered', '2L', '--note', '<img src=x onerror=alert(1)>');
  });
  after(() => garden.end());

  for (const colorScheme of ['light', 'dark'])
    for (const view of views)
      it('has no barrier that a checker finds: ' + view + ', ' + colorScheme, async () => {
        const page = await phone(browser, garden, {colorScheme});
        await page.view(view);
        if (view === '#/') await page.locator('button', {hasText: 'Other'}).first().tap();
        if (view === '#/pots') await page.locator('button', {hasText: 'Add a pot'}).tap();
        await page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
        await page.evaluate(axe_source);
        const found = await page.evaluate(() => window.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
        assert.deepEqual(found.violations.map(v => v.id + ': ' + v.nodes.map(n => n.html).join(' | ')), []);
        assert.deepEqual(page.faults, []);
        await page.context().close();
      });

  it('has targets of 44 px, and nothing wider than the screen, also at twice the size', async () => {
    for (const width of [320, 195]) {
      const page = await phone(browser, garden, {viewport: {width, height: 600}});
      for (const view of views) {
        await page.view(view);
        await page.waitForTimeout(100);
        const small = await page.evaluate(() => Array.from(document.querySelectorAll('a[href], button, select, input:not([type=checkbox]):not([type=radio]), summary'))
          .filter(node => node.offsetParent && !node.classList.contains('skip')).map(node => [node.outerHTML.slice(0, 80), node.getBoundingClientRect()])
          .filter(([, box]) => box.width < 43.9 || box.height < 43.9).map(([html, box]) => html + ' ' + box.width + ' x ' + box.height));
        assert.deepEqual(small, [], view);
        // Not against innerWidth, which a phone widens to what does not fit.
        const wide = await page.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, view + ' is ' + wide + ' wide on ' + width);
      }
      await page.context().close();
    }
  });

  it('shows beside a pot\'s litres what is of today and what is advised, once, and in the fold only what widens the range', async () => {
    const list = JSON.parse(garden.run(morning, '--json', 'round')), page = await phone(browser, garden);
    const reason = (code, kind, text) => ({code, kind, values: {}, text});
    list.pours.find(p => p.pot === '8').because = [reason('missing', 'line', 'needs about 3 L (2 to 4 L)'), reason('two-passes', 'line', 'in two passes'),
      reason('new-planting', 'advice', 'new planting: roots drink 3 L. Pour onto the ball, close to the stem'), reason('rain-caught', 'today', '4 mm fell, pot 8 caught 1 L'),
      reason('drain-blocked', 'advice', 'water was seen standing'), reason('ball-unknown', 'range', 'size of the root ball unknown')];
    list.notices.push({code: 'drain-blocked', severity: 'warning', values: {pots: '8'}, text: 'Water was seen standing in 8'});
    await page.context().route('**/api/v1/round*', route => route.fulfill({json: list}));
    await page.view('#/');
    const said = async locator => (await locator.allTextContents()).map(text => text.replace(/\u00a0/g, ' '));
    assert.deepEqual(await said(page.locator('#line-8 .flag')), ['New planting: roots drink 3 L. Pour onto the ball, close to the stem.']);
    assert.deepEqual((await said(page.locator('#line-8 .needs'))).slice(1), ['4 mm fell, pot 8 caught 1 L.']);
    const fold = page.locator('details', {hasText: 'Why the ranges are wide'});
    await fold.locator('summary').tap();
    const ranges = (await said(fold.locator('li'))).join('\n');
    assert.match(ranges, /8: size of the root ball unknown\./);
    assert.doesNotMatch(ranges, /needs about|two passes|Pour onto|mm fell|standing/);
    await page.context().close();
    // What the garden itself says of its pots is in both faces in the same place.
    const own = JSON.parse(garden.run(morning, '--json', 'round')), words = garden.run(morning, 'round').replace(/\s+/g, ' ');
    const advised = own.pours.filter(p => p.because.some(b => b.kind === 'advice'));
    assert.ok(advised.length > 0 && /More than a pour can do/.test(words));
    const other = await phone(browser, garden);
    await other.view('#/');
    for (const p of own.pours.filter(p => p.pot !== '1')) {
      const dry = p.because.find(b => b.code === 'dry-at'), said = (await other.locator('#line-' + p.pot + ' .needs').first().textContent()).replace(/\u00a0/g, ' ');
      assert.ok(said.endsWith('; ' + (dry ? dry.text : 'lasts more than ten days without water') + '.') && words.includes(said.slice(said.indexOf(';'))), said);
    }
    // Pot 1 has its answer, and a line that is answered says no more.
    for (const p of own.pours.filter(p => p.pot !== '1')) assert.equal(await other.locator('#line-' + p.pot + ' .flag').count(), p.because.filter(b => b.kind === 'advice').length, p.pot);
    await other.context().close();
  });

  it('has the sheet whole on a screen of 320 px, and Other beside a box on any phone', async () => {
    for (const width of [320, 360, 375, 412]) {
      const page = await phone(browser, garden, {viewport: {width, height: 700}});
      await page.view('');
      const alone = await page.evaluate(() => Array.from(document.querySelectorAll('.line .boxes > .more')).filter(more => {
        const at = more.getBoundingClientRect();
        return !Array.from(more.parentNode.querySelectorAll('.box')).some(box => Math.abs(box.getBoundingClientRect().top - at.top) < 12);
      }).map(more => more.closest('.line').id));
      assert.ok(await page.locator('.line .boxes > .more').count() > 0);
      assert.deepEqual(alone, [], 'at ' + width);
      await page.view('sheet');
      assert.ok(await page.evaluate(() => document.querySelector('main').scrollWidth <= document.querySelector('main').clientWidth), 'the sheet at ' + width);
      await page.context().close();
    }
  });

  it('says so when there is no such view, garbled addresses included', async () => {
    const page = await phone(browser, garden);
    for (const hash of ['#/nothing', '#/why', '#/walk/7', '#/%E0%A4%A']) {
      await page.view(hash);
      assert.match(await page.locator('main').innerText(), /Nothing is here/, hash);
    }
    await page.locator('a', {hasText: 'To the walk'}).tap();
    await page.locator('h1', {hasText: 'Tuesday 14 July'}).waitFor();
    await page.view('#/pots/%E0%A4%A');
    assert.match(await page.locator('main').innerText(), /Not possible/);
    assert.deepEqual(page.faults, []);
    await page.context().close();
  });

  it('draws rain with a scale of its own, and no label over another', async () => {
    const page = await phone(browser, garden);
    await page.view('#/pots/7');
    await page.locator('.plot').waitFor();
    assert.deepEqual(await page.locator('.of-rain text').allTextContents(), ['mm', '0', '20']);
    const drawn = await page.evaluate(() => {
      const box = node => node.getBoundingClientRect(), of = n => ({words: n.textContent, left: box(n).left, right: box(n).right, top: box(n).top, bottom: box(n).bottom});
      return {texts: Array.from(document.querySelectorAll('.plot text')).map(of), bar: box(document.querySelector('rect.rain')).height, scale: box(document.querySelector('.of-rain path')).height};
    });
    const over = [];
    drawn.texts.forEach((a, i) => drawn.texts.slice(i + 1).forEach(b => {
      if (Math.min(a.right, b.right) - Math.max(a.left, b.left) > 0 && Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top) > 2) over.push(a.words + ' over ' + b.words);
    }));
    assert.deepEqual(over, []);
    // 6 mm fell on the 5th: three tenths of the scale's 20 mm.
    assert.ok(Math.abs(drawn.bar / drawn.scale - 0.3) < 0.03, drawn.bar + ' of ' + drawn.scale);
    await page.context().close();
  });

  it('takes a new pot whose stock nobody knows, under an id as the command line takes it', async () => {
    const page = await phone(browser, garden);
    await page.view('#/pots');
    await page.locator('button', {hasText: 'Add a pot'}).tap();
    await page.getByLabel('Size, L as on the rim').fill('25');
    await page.getByLabel('Planted').fill('2024-11-16');
    for (const wrong of ['a b', '-a', 'ü'.repeat(13)]) {
      await page.getByLabel('Number or name on its label').fill(wrong);
      await page.locator('button', {hasText: 'Add the pot'}).tap();
      assert.match(await page.locator('[role=alert]').textContent(), /Up to 24 letters, digits, - or _/, wrong);
    }
    await page.getByLabel('Number or name on its label').fill('Ünit-3');
    await page.locator('button', {hasText: 'Add the pot'}).tap();
    await page.locator('h1', {hasText: 'Pot Ünit-3'}).waitFor();
    const facts = JSON.parse(garden.run(morning, '--json', 'pot', 'show', 'Ünit-3')).facts;
    assert.equal(facts.find(f => f.key === 'rootstock-unknown').from, 'default');
    assert.deepEqual(facts.filter(f => /rootstock|vigour/.test(f.key) && f.from === 'stated'), []);
    garden.run(morning, 'pot', 'retire', 'Ünit-3');
    await page.context().close();
  });

  it('tells weather by hand in words while it waits, and refuses a lowest above the highest beside the field', async () => {
    const page = await phone(browser, garden);
    await page.view('#/weather');
    await page.locator('#hand-max').fill('10');
    await page.locator('#hand-min').fill('40');
    await page.locator('button', {hasText: 'Write down'}).tap();
    assert.match(await page.locator('[role=alert]').textContent(), /The lowest is above the highest/);
    await page.context().route('**/api/v1/weather/notes', route => route.abort());
    await page.locator('#hand-max').fill('31,5');
    await page.locator('#hand-min').fill('-4');
    await page.locator('button', {hasText: 'Write down'}).tap();
    await page.locator('#strip', {hasText: '1 not sent yet'}).waitFor();
    await page.view('#/daybook');
    assert.match((await page.locator('.entry', {hasText: 'Weather'}).first().textContent()).replace(/\u00a0/g, ' '), /Weather of 14 July: highest 31.5 °C, lowest -4 °C/);
    await page.context().close();
  });

  it('shows text as text, whatever the daybook holds', async () => {
    const page = await phone(browser, garden);
    await page.view('#/daybook');
    await page.locator('p', {hasText: '<img src=x onerror=alert(1)>'}).waitFor();
    assert.equal(await page.locator('main img').count(), 0);
    await page.context().close();
  });

  it('can be walked by keyboard alone, and the keyboard stays where it was', async () => {
    const page = await phone(browser, garden, {hasTouch: false, isMobile: false, viewport: {width: 1000, height: 800}});
    await page.view('');
    await page.keyboard.press('Tab');
    assert.equal(await page.evaluate(() => document.activeElement.id), 'skip');
    const to = async words => {
      for (let i = 0; i < 80; i += 1) {
        const name = await page.evaluate(() => document.activeElement.getAttribute('aria-label') || document.activeElement.textContent);
        if (words.test(name)) {
          const outline = await page.evaluate(() => getComputedStyle(document.activeElement).outlineStyle);
          assert.notEqual(outline, 'none', 'focus is seen on ' + name);
          return;
        }
        await page.keyboard.press('Tab');
      }
      assert.fail('the keyboard does not reach ' + words);
    };
    await to(/^Gave .*pot 7/);
    await page.keyboard.press('Enter');
    await page.locator('#line-7 .answer').waitFor();
    assert.equal(await page.evaluate(() => document.activeElement.id), 'line-7');
    // The list is drawn anew when the entry is acknowledged; a key pressed in that moment would go to what is no more.
    const settled = async () => {
      await page.waitForFunction(() => !/not sent/.test(document.querySelector('#strip').textContent));
      await page.waitForTimeout(1500);
    };
    await settled();
    await to(/^Take back, pot 7/);
    await page.keyboard.press('Space');
    await page.locator('#line-7 button', {hasText: 'Gave'}).waitFor();
    await to(/^Other, pot 7/);
    await page.keyboard.press('Enter');
    await to(/^Moist$/);
    await page.keyboard.press('Enter');
    await page.locator('#line-7 .opened').waitFor({state: 'hidden'});
    await settled();
    await page.keyboard.press('Shift+Tab');
    await page.view('#/jobs');
    await to(/^Pot 1 done: /);
    const job = await page.evaluate(() => document.activeElement.id);
    await page.keyboard.press('Enter');
    await page.locator('.done').waitFor();
    assert.deepEqual(await page.evaluate(() => [document.activeElement.id, document.activeElement.textContent]), [job, 'Take back']);
    await page.view('#/');
    await settled();
    await to(/^Why, pot 7/);
    await page.keyboard.press('Enter');
    await page.locator('h1', {hasText: 'Why, pot 7'}).waitFor();
    await page.waitForFunction(() => document.activeElement.tagName === 'H1');
    assert.equal(await page.title(), 'Why, pot 7, Tubgrove');
    await page.context().close();
  });

  it('moves nothing for those who asked for less motion', async () => {
    const page = await phone(browser, garden, {reducedMotion: 'reduce'});
    await page.view('');
    assert.deepEqual(await page.evaluate(() => Array.from(document.querySelectorAll('*')).filter(n => {
      const style = getComputedStyle(n);
      return parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none';
    }).length), 0);
    await page.context().close();
  });
});

describe('the sheet for paper', () => {
  let garden;
  before(async () => { garden = await new Garden().make().serve(); });
  after(() => garden.end());

  for (const [format, width, height] of [['A4', 210, 297], ['Letter', 215.9, 279.4]])
    it('prints black and in 14 pt on ' + format + ', a line a pot with its two boxes', async () => {
      const page = await phone(browser, garden, {isMobile: false, colorScheme: 'dark', viewport: {width: Math.round((width - 28) / 25.4 * 96), height: 900}});
      await page.view('sheet');
      await page.emulateMedia({media: 'print'});
      const list = JSON.parse(garden.run(morning, '--json', 'round'));
      assert.equal(await page.locator('tbody tr:not(.bay)').count(), list.pours.length);
      assert.equal(await page.locator('.boxed').count(), 2 * list.pours.length);
      assert.equal(await page.locator('.tools').isVisible(), false);
      const advised = list.pours.filter(p => p.because.some(b => b.kind === 'advice')).map(p => p.pot);
      assert.ok(advised.length > 0);
      assert.ok((await page.locator('main').textContent()).includes('More than a pour can do' + advised.join(', ') + ': A second walk, shade or a larger pot would help.'));
      const styles = await page.evaluate(() => Array.from(document.querySelectorAll('main *')).filter(n => n.offsetParent && !n.classList.contains('unseen'))
        .map(n => [getComputedStyle(n).color, parseFloat(getComputedStyle(n).fontSize)]));
      assert.ok(styles.every(([colour, size]) => colour === 'rgb(0, 0, 0)' && size >= 14 * 96 / 72 - 0.1));
      assert.ok(await page.evaluate(() => document.documentElement.scrollWidth <= window.innerWidth));
      const pdf = await page.pdf({format});
      const box = /\/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]/.exec(pdf.toString('latin1'));
      assert.ok(Math.abs(Number(box[1]) - width / 25.4 * 72) < 1 && Math.abs(Number(box[2]) - height / 25.4 * 72) < 1, box[0]);
      await page.context().close();
    });
});

describe('the labels for paper', () => {
  it('hold a code for each pot that a decoder reads', async () => {
    const garden = await new Garden().make().serve();
    const page = await phone(browser, garden, {isMobile: false, viewport: {width: 760, height: 900}, deviceScaleFactor: 2});
    await page.view('labels');
    await page.emulateMedia({media: 'print'});
    const picture = path.join(garden.folder, 'labels.png');
    await page.screenshot({path: picture, fullPage: true});
    const read = spawnSync('zbarimg', ['--quiet', '--raw', picture], {encoding: 'utf8', timeout: 60000});
    const wanted = JSON.parse(garden.run(morning, '--json', 'labels')).labels.map(l => l.link);
    assert.equal(wanted.length, 4);
    assert.deepEqual(read.stdout.trim().split('\n').sort(), wanted.sort());
    for (const words of ['lemon', 'by the gate', 'plum on Pixy']) assert.match(await page.locator('main').textContent(), new RegExp(words));
    await page.context().close();
    await garden.end();
  });
});

describe('a phone from elsewhere', () => {
  it('is let in by a code and shut out without one', async () => {
    const garden = await new Garden().make('token').serve();
    const page = await phone(browser, garden);
    await page.view('');
    await page.locator('h1', {hasText: 'Let this phone in'}).waitFor();
    await page.getByLabel('Code').fill('AAAA-AAAA');
    await page.locator('button', {hasText: 'Let in'}).tap();
    await page.locator('[role=alert]').waitFor();
    const code = /\b([A-Z0-9]{4}-[A-Z0-9]{4})\b/.exec(garden.run(null, 'pair'))[1];
    await page.getByLabel('Code').fill(code);
    await page.locator('button', {hasText: 'Let in'}).tap();
    await page.locator('h1', {hasText: 'Tuesday 14 July'}).waitFor();
    assert.deepEqual(page.faults, []);
    await page.context().close();
    await garden.end();
  });
});
