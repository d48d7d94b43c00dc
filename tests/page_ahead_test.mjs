// The page where it looks ahead, in a real browser: days ahead, an absence, a change tried out, how good it was, and somebody who
// waters meanwhile. The numbers are those that the command line gives; ranges are drawn where they are.
// node page_ahead_test.mjs PROGRAM CHROMIUM NODE_MODULES
import assert from 'node:assert/strict';
import fs from 'node:fs';
import path from 'node:path';
import {after, before, describe, it} from 'node:test';
import {axe_source, Garden, morning, openBrowser, phone} from './page_garden.mjs';

let browser, garden, page;
const day = n => new Date(Date.UTC(2026, 6, n)).toISOString().slice(0, 10);

// Each morning somebody forecasts ten days: 33 degC by day, and 37 from the 16th on.
function forecast(issued) {
  const heads = 'day,air_temperature:max [degC],air_temperature:min [degC],precipitation_amount:sum [mm],wind_speed:mean [m s-1]\n', rows = [];
  for (let n = issued; n < issued + 10; n += 1) rows.push([day(n), n >= 16 ? 37 : 33, n >= 16 ? 21 : 19, n === 19 ? 8 : 0, 2].join(','));
  return heads + rows.join('\n') + '\n';
}

const json = (...words) => JSON.parse(garden.run(morning, '--json', ...words));
const texts = locator => locator.allTextContents();
const opened = () => page.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
const rows = caption => page.locator('table', {has: page.locator('caption', {hasText: caption})}).locator('tbody tr');
const figureOf = title => page.locator('figure', {has: page.locator('h2', {hasText: title})});

before(async () => {
  browser = await openBrowser();
  garden = new Garden().make('open', forecast);
  const configured = fs.readFileSync(garden.env.TUBGROVE_CONFIG, 'utf8');
  fs.writeFileSync(garden.env.TUBGROVE_CONFIG, configured.replace('near: [south-wall, steps]}', 'near: [south-wall, steps], holds: 60 L}'));
  await garden.serve();
  page = await phone(browser, garden);
});
after(async () => {
  await page.context().close();
  await garden.end();
  await browser.close();
});

describe('days ahead', () => {
  let ahead;
  before(async () => {
    ahead = json('ahead');
    await page.view('#/ahead');
    await page.locator('.plot').first().waitFor();
  });

  it('tells heat, which pots one filling does not last, and what helps each', async () => {
    assert.equal(ahead.heat.length, 1);
    const said = await page.locator('section', {has: page.locator('h2', {hasText: 'Heat'})}).textContent().then(text => text.replace(/\u00a0/g, ' '));
    const short = ahead.heat[0].pots.filter(p => p.kept !== 'one-filling');
    assert.ok(short.length > 0);
    for (const pot of short) {
      assert.ok(said.includes(pot.label || pot.pot), pot.pot);
      for (const help of pot.helps) assert.ok(said.includes(help.text.split(':')[0]), help.text);
    }
  });

  it('draws for each pot from when to when it runs dry, and tells the same as a table', async () => {
    const figure = figureOf('When each pot runs dry');
    assert.deepEqual(await texts(figure.locator('.plot .scale')), ahead.pots.map(p => p.pot));
    const seen = ahead.pots.filter(p => p.dry_at !== null);
    const marks = await figure.locator('rect.pour').evaluateAll(all => all.map(n => Number(n.getAttribute('x')) + Number(n.getAttribute('width')) / 2));
    assert.equal(marks.length, seen.length);
    const grid = await figure.locator('line.grid').evaluateAll(all => all.map(n => Number(n.getAttribute('x1'))));
    const start = Date.parse(ahead.from + 'T00:00:00+02:00'), wide = grid[1] - grid[0];
    seen.forEach((p, i) => assert.ok(Math.abs(marks[i] - grid[0] - (Date.parse(p.dry_at) - start) / 86400000 * wide) < 1, p.pot));
    await opened();
    assert.equal(await rows('When each pot runs dry').count(), ahead.pots.length);
  });

  it('draws each walk with its range, and holds the water against the butt', async () => {
    const figure = figureOf('Water that the walks need');
    const bars = await figure.locator('.bars').evaluateAll(all => all.map(g => {
      const rect = g.querySelector('rect'), line = /M[^ ]+ ([^h]+)h[^M]+M[^ ]+ [^V]+V([^M]+)M/.exec(g.querySelector('.range').getAttribute('d'));
      return {top: Number(rect.getAttribute('y')), height: Number(rect.getAttribute('height')), high: Number(line[1]), low: Number(line[2])};
    }));
    assert.equal(bars.length, ahead.walks.length);
    const zero = bars[0].top + bars[0].height, litre = bars[0].height / ahead.walks[0].total_l;
    bars.forEach((b, i) => {
      const w = ahead.walks[i];
      for (const [drawn, l] of [[b.top, w.total_l], [b.high, w.total_high_l], [b.low, w.total_low_l]]) assert.ok(Math.abs(zero - drawn - l * litre) < 1.5, w.day);
    });
    const said = await page.locator('main').textContent();
    assert.match(said, /yard holds 60.L, needed \d+/);
    assert.match(said, ahead.stocks[0].enough ? /: enough/ : /until \w+ \d+ July only|may not be enough/);
    await opened();
    assert.equal(await rows('Walks to plan').count(), ahead.walks.length);
    // What stands on the walk's own list is said so, with where to stop in any case; no walk takes more than a line of the table.
    const first = (await figure.locator('li').first().textContent()).replace(/\u00a0/g, ' ');
    assert.equal(first.includes('as on its list'), ahead.walks[0].listed);
    for (const pour of ahead.walks[0].pours) assert.ok(first.includes((pour.label || pour.pot) + ': ') && first.includes('(' + pour.most_l + ')'), pour.pot);
    const heights = await rows('Walks to plan').evaluateAll(all => all.map(row => row.getBoundingClientRect().height));
    assert.ok(Math.max(...heights) < 2 * Math.min(...heights), heights);
  });

  it('shows one pot\'s use with its band, and its chances, by choice', async () => {
    const pot = ahead.pots[2];
    await page.getByLabel('Pot', {exact: true}).selectOption(pot.pot);
    const name = pot.label || 'pot ' + pot.pot;
    await figureOf('What ' + name + ' uses').locator('.band').waitFor();
    await opened();
    const cells = await texts(rows('Use of ' + name).nth(0).locator('td'));
    assert.equal(parseFloat(cells[0]), Number(pot.days[0].demand_l.toFixed(1)));
    assert.equal(await rows('Chances of ' + name).count(), pot.days.length);
    const bars = await figureOf('Whether ' + name).locator('.bars').evaluateAll(all => all.map(g => Array.from(g.querySelectorAll('rect')).map(r => Number(r.getAttribute('height')))));
    const most = Math.max(...bars.map(b => b[0])), share = Math.max(...pot.days.map(d => d.dry_share));
    bars.forEach((b, i) => {
      assert.ok(Math.abs(b[0] / most - pot.days[i].dry_share / share) < 0.02);
      assert.ok(Math.abs(b[1] / most - pot.days[i].dry_planned_share / share) < 0.02);
    });
  });
});

describe('times after the clocks change', () => {
  it('stand where the garden\'s clock says', async () => {
    // The module by itself, on a page without an address: the service serves it inside its page's one script.
    const days = fs.readFileSync(new URL('../daemon/page/days.js', import.meta.url), 'utf8');
    const blank = await browser.newPage({timezoneId: 'Asia/Tokyo'});
    const told = await blank.evaluate(async text => {
      const d = await import('data:text/javascript,' + encodeURIComponent(text));
      return [['2026-10-24', '2026-10-26T06:00:00+01:00'], ['2026-03-28', '2026-03-30T18:00:00+02:00'], ['2026-07-14', '2026-07-14T00:00:00+02:00']].map(([from, time]) => d.daysAfter(from, time));
    }, days);
    await blank.close();
    assert.deepEqual(told, [2.25, 2.75, 0]);
  });
});

describe('being away', () => {
  it('asks for the days, and tells visits, both moments a pot, and what is done before', async () => {
    await page.view('#/away');
    await page.locator('button', {hasText: 'Work it out'}).tap();
    assert.match(await page.locator('[role=alert]').textContent(), /A day is needed/);
    await page.getByLabel('First day away').fill('2026-07-16');
    await page.getByLabel('Last day away').fill('2026-07-22');
    await page.locator('button', {hasText: 'Work it out'}).tap();
    await page.locator('.plot').waitFor();
    const a = json('absence', '2026-07-16', '2026-07-22');
    assert.ok(a.visits.length > 0);
    assert.match(await page.locator('.sum').textContent(), !a.safe ? /Even a visit at each walk/ : new RegExp(a.visits.length === 1 ? 'One visit' : a.visits.length + ' visits'));
    // The visits are a list, a line a pot.
    const told = a.sheet_lines.filter(l => l.kind === 'visit'), lines = [].concat(...told.map(l => l.parts));
    assert.equal(lines.length, told.reduce((sum, l) => sum + a.visits.find(v => v.day === l.from && l.when.toLowerCase().includes(v.walk)).pours.length, 0));
    const shown = (await texts(page.locator('.each-pot li'))).map(text => text.replace(/\u00a0/g, ' '));
    assert.deepEqual(shown, lines.map(text => text[0].toUpperCase() + text.slice(1) + '.'));
    for (const l of told) assert.equal(l.what, l.parts.join(', ') + '.');
    await opened();
    assert.equal(await rows('How long each pot lasts').count(), a.pots.length);
    for (const cell of await texts(rows('How long each pot lasts').locator('td'))) assert.doesNotMatch(cell, /today|tomorrow|not seen/);
    const figure = figureOf('How long each pot lasts');
    for (const t of a.pots.flatMap(p => p.tried))
      for (const key of ['checked', 'checked_low', 'checked_high', 'harmed', 'harmed_low', 'harmed_high']) {
        const at = t[key + '_at'], h = t[key + '_h'];
        assert.equal(at === null, h === null);
        if (at !== null) assert.ok(Math.abs(Date.parse(at) - Date.parse(a.leaves) - h * 3600000) <= 181000, key);   // hours are told to a tenth
      }
    const tried = a.pots.map(p => p.tried.find(t => t.what === p.chosen));
    const start = Date.parse('2026-07-15T00:00:00+02:00'), days = 9, beyond = (Date.parse(a.leaves) - start) / 3600000;
    const within = key => tried.filter(t => t[key] !== null && (beyond + t[key]) / 24 <= days).length;
    assert.equal(await figure.locator('circle').count(), within('checked_h'));
    assert.equal(await figure.locator('rect').count(), within('harmed_h'));
    assert.equal(await figure.locator('line.full').count(), a.visits.length + 1);
  });

  it('prints a sheet for whoever helps: each visit with its pots and boxes', async () => {
    const a = json('absence', '2026-07-16', '2026-07-22');
    await page.locator('a', {hasText: 'Sheet for paper'}).tap();
    await page.locator('h1', {hasText: 'Away from Thursday 16 July to Wednesday 22 July'}).waitFor();
    const pours = a.visits.reduce((sum, v) => sum + v.pours.length, 0);
    assert.equal(await page.locator('tbody tr').count(), pours);
    assert.equal(await page.locator('.boxed').count(), 2 * pours);
    assert.match(await page.locator('main').textContent(), /On leaving, pots? .*come back after half an hour/s);
    await page.emulateMedia({media: 'print'});
    const styles = await page.evaluate(() => Array.from(document.querySelectorAll('main *')).filter(n => n.offsetParent && !n.classList.contains('unseen')).map(n => [getComputedStyle(n).color, parseFloat(getComputedStyle(n).fontSize)]));
    assert.ok(styles.every(([colour, size]) => colour === 'rgb(0, 0, 0)' && size >= 14 * 96 / 72 - 0.1));
    await page.emulateMedia({media: 'screen'});
  });
});

describe('a change tried out', () => {
  it('from a pot\'s page: what a larger pot would do, with ranges', async () => {
    await page.view('#/pots/7');
    await page.locator('a', {hasText: 'What would a change do'}).tap();
    await page.getByLabel('What to change').waitFor();
    await page.locator('button', {hasText: 'Compare'}).tap();
    assert.match(await page.locator('[role=alert]').textContent(), /Right would be: 40 L/);
    await page.getByLabel(/pot: size/).fill('80 L');
    await page.locator('button', {hasText: 'Compare'}).tap();
    await page.locator('.plot').first().waitFor();
    assert.match(await page.locator('main').textContent(), /Pot 7 with pot: size 80.L \(is 30.L\)\./);
    const past = json('compare', '7', 'container.size=80L').seasons[0];
    assert.match((await page.locator('.sum').first().textContent()).replace(/\u00a0/g, ' ').toLowerCase(), new RegExp(past.text.split(',')[0].replace('L', '').trim().split(' ')[0]));
    assert.equal(await figureOf('Water to pour').locator('.range').count(), 2);
    await opened();
    const walks = await texts(rows('The past season, as it is').nth(1).locator('td'));
    assert.deepEqual(walks.slice(0, 2).map(parseFloat), [past.without.walks, past.with.walks]);
    assert.ok(past.without.walks_low < past.without.walks_high && walks[0].includes('(' + past.without.walks_low + ' to ' + past.without.walks_high + ')'), walks[0]);
  });

  it('says so when it makes no difference worth having, and what is not possible', async () => {
    await page.view('#/compare/7/' + encodeURIComponent('container.size=30L'));
    await page.locator('.sum', {hasText: /no difference worth having/i}).first().waitFor();
    await page.view('#/compare/7/' + encodeURIComponent('container.size=blue'));
    await page.locator('h1', {hasText: 'Not possible'}).waitFor();
    assert.match(await page.locator('main').textContent(), /Right would be/);
  });
});

describe('how good it was', () => {
  it('shows forecasts beside what came, and the pots on request', async () => {
    await page.view('#/record');
    await page.locator('.plot').first().waitFor();
    await opened();
    const lines = json('weather', 'show', '--forecast').sources[0].lines.filter(l => l.quantity === 'air_temperature:max');
    const found = await rows('service: highest temperature').evaluateAll(all => all.map(r => Array.from(r.children).map(c => c.textContent)));
    assert.deepEqual(found.map(r => [Number(r[0]), Number(r[1])]), lines.map(l => [l.lead_days, l.compared]));
    await page.locator('button', {hasText: 'Look back'}).tap();
    await figureOf('Use of a pot on a day').waitFor();
    await opened();
    const looked = json('ahead', '--hindcast');
    assert.ok(looked.mornings.length > 0 && looked.pots === 4);
    const use = await rows('Use of a pot on a day').evaluateAll(all => all.map(r => Array.from(r.children).map(c => c.textContent)));
    assert.deepEqual(use.map(r => [Number(r[0]), Number(r[1]), r[6]]), looked.demand.map(l => [l.lead_days, l.compared, Math.round(100 * l.held_share) + ' %']));
    assert.equal(await rows('An hour dry on a day').count(), looked.dry.length);
    assert.equal(await figureOf('An hour dry').locator('.bars').count(), looked.dry.length);
  });
});

describe('each of these views', () => {
  const views = ['#/ahead', '#/away', '#/away/2026-07-16/2026-07-22', '#/compare/7/mulch.depth=4cm', '#/record', 'sheet.html#away/2026-07-16/2026-07-22', 'sheet.html#visit/2026-07-22'];
  for (const colorScheme of ['light', 'dark'])
    it('has no barrier that a checker finds, ' + colorScheme, async () => {
      for (const view of views) {
        const other = await phone(browser, garden, {colorScheme});
        await other.view(view);
        await other.waitForTimeout(200);
        await other.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
        await other.evaluate(axe_source);
        const found = await other.evaluate(() => window.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
        assert.deepEqual(found.violations.map(v => view + ' ' + v.id + ': ' + v.nodes.map(n => n.html).join(' | ')), []);
        assert.deepEqual(other.faults, []);
        await other.context().close();
      }
    });

  it('has targets of 44 px, and nothing wider than the screen, also at twice the size', async () => {
    for (const width of [320, 195]) {
      const other = await phone(browser, garden, {viewport: {width, height: 600}});
      for (const view of views) {
        await other.view(view);
        await other.waitForTimeout(200);
        const small = await other.evaluate(() => Array.from(document.querySelectorAll('a[href], button, select, input, summary')).filter(node => node.offsetParent && !node.classList.contains('skip'))
          .map(node => [node.outerHTML.slice(0, 80), node.getBoundingClientRect()]).filter(([, box]) => box.width < 43.9 || box.height < 43.9).map(([html]) => html));
        assert.deepEqual(small, [], view);
        const wide = await other.evaluate(() => document.documentElement.scrollWidth);
        assert.ok(wide <= width, view + ' is ' + wide + ' wide on ' + width);
      }
      await other.context().close();
    }
  });

  it('in US units shows no metric amount', async () => {
    const other = await phone(browser, garden);
    await other.view('#/phone');
    await other.getByLabel(/US quarts/).check();
    for (const view of views) {
      await other.view(view);
      await other.waitForTimeout(200);
      await other.evaluate(() => document.querySelectorAll('details').forEach(fold => { fold.open = true; }));
      const text = await other.evaluate(() => document.querySelector('main').innerText);
      assert.deepEqual(text.match(/[^\n]*\d[ \u00a0]?(L|mm|cm|kg|m\/s|m²|m2|m|degC|°C|K)(?![A-Za-z\/0-9])[^\n]*/g), null, view);
    }
    await other.context().close();
  });

  it('met no fault on the way', () => { assert.deepEqual(page.faults, []); });
});

describe('somebody who waters meanwhile', () => {
  let other, helper;
  const until = day(22) + 'T00:00:00+02:00';  // let in to the 21st, the day of the return
  before(async () => {
    other = await new Garden().make('token').serve();
    helper = await phone(browser, other);
    // The garden's clock stands in July, the tokens' does not: what the door says of the end is told as the garden would see it.
    await helper.context().route('**/api/v1/me', async route => {
      const answer = await route.fetch(), told = await answer.json();
      return route.fulfill({response: answer, json: Object.assign(told, told.until ? {until} : {})});
    });
    await helper.view('');
    const end = new Date(Date.now() + 8 * 86400000).toISOString().slice(0, 10);
    const code = /\b([A-Z0-9]{4}-[A-Z0-9]{4})\b/.exec(other.run(null, 'pair', '--name', 'Ana', '--until', end))[1];
    await helper.getByLabel('Code').fill(code);
    await helper.locator('button', {hasText: 'Let in'}).tap();
    await helper.locator('h1', {hasText: 'Tuesday 14 July'}).waitFor();
  });
  after(async () => {
    await helper.context().close();
    await other.end();
  });

  it('sees the visit and nothing else', async () => {
    const visit = JSON.parse(other.run(morning, '--json', 'visit', '2026-07-20'));
    assert.equal(visit.due, true);
    assert.deepEqual(await texts(helper.locator('nav a')), ['Visit', 'Phone']);
    assert.deepEqual((await texts(helper.locator('.lines .tag'))).sort(), visit.pours.map(p => p.pot).sort());
    assert.equal(await helper.locator('a', {hasText: 'Why'}).count(), 0);
    await helper.view('#/pots/7');
    assert.match(await helper.locator('h1').textContent(), /Tuesday 14 July/);
    const said = await helper.locator('main').textContent();
    assert.match(said, /Care|Warning/);
    assert.match(said, /droops in the morning/);
  });

  it('shows a visit to come without a box: what is poured then is not ticked today', async () => {
    await helper.context().route('**/api/v1/visit*', async route => {
      const headers = Object.assign({}, route.request().headers());
      delete headers['if-none-match'];
      const answer = await route.fetch({headers}), told = await answer.json();
      const later = [{day: '2026-07-17', walk: 'morning'}, {day: '2026-07-17', walk: 'evening'}];
      return route.fulfill({response: answer, json: Object.assign(told, {due: false, day: '2026-07-16', walk: 'evening', later: later.map(v => v.day), later_visits: later})});
    });
    for (const order of ['Can by can', 'Pot by pot']) {
      await helper.view('#/phone');
      await helper.view('#/');
      await helper.locator('.sum', {hasText: 'No visit is needed today. The next is on Thursday 16 July in the evening, '}).waitFor();
      await helper.locator('p', {hasText: 'Not now: what that visit pours, as it looks today.'}).waitFor();
      await helper.locator('p', {hasText: 'Visits after that: Friday 17 July, Friday 17 July in the evening.'}).waitFor();
      await helper.locator('button', {hasText: order}).tap();
      assert.ok(await helper.locator('main .tag').count() > 0);
      assert.equal(await helper.locator('button.box').count(), 0, order);
      assert.equal(await helper.locator('button.more').count(), 0, order);
    }
    await helper.context().unroute('**/api/v1/visit*');
    await helper.view('#/phone');
    await helper.view('#/');
    await helper.locator('button.box').first().waitFor();
  });

  it('ticks a pot off, and the entry carries the name', async () => {
    const first = JSON.parse(other.run(morning, '--json', 'visit', '2026-07-20')).pours[0].pot;
    await helper.locator('#line-' + first + ' button', {hasText: 'Ran through'}).tap();
    await helper.locator('#line-' + first + ' .answer').waitFor();
    await helper.waitForFunction(() => document.getElementById('strip').hidden);
    const entry = other.daybook().entries.filter(e => e.pot === first && e.action === 'ran-through').pop();
    assert.equal(entry.by, 'Ana');
    assert.equal(await helper.locator('#line-' + first + ' button', {hasText: 'Take back'}).count(), 1);
  });

  it('tells another amount, and nothing is odd about it: a visit is no list', async () => {
    const first = JSON.parse(other.run(morning, '--json', 'visit', '2026-07-20')).pours[0].pot, line = helper.locator('#line-' + first);
    await helper.waitForTimeout(700);
    await line.locator('button', {hasText: 'Other'}).tap();
    await line.getByLabel(/Gave another amount/).fill('0,5');
    await line.locator('button', {hasText: 'Write down'}).first().tap();
    await line.locator('.answer', {hasText: /gave 0.5.L \d\d:\d\d/}).waitFor();
    await helper.waitForTimeout(300);
    assert.equal(await helper.locator('#strip').isHidden(), true, await helper.locator('#strip').textContent());
    const entry = other.daybook().entries.filter(e => e.pot === first).pop();
    assert.deepEqual([entry.action, entry.values.amount_l, entry.by, entry.round || ''], ['watered', 0.5, 'Ana', '']);
  });

  it('cannot take back what somebody else wrote, and is not offered it', async () => {
    const pots = JSON.parse(other.run(morning, '--json', 'visit', '2026-07-20')).pours.map(p => p.pot), second = pots[pots.length - 1];
    other.run(morning, 'did', second, 'watered', '1L');
    await helper.view('#/phone');
    await helper.view('#/');
    await helper.locator('#line-' + second + ' .answer').waitFor();
    assert.equal(await helper.locator('#line-' + second + ' button', {hasText: 'Take back'}).count(), 0);
  });

  it('is offered nothing that the door refuses a helper, and finds on the phone\'s view what was not taken', async () => {
    const me = await helper.evaluate(() => fetch('api/v1/me', {headers: {Authorization: 'Bearer ' + JSON.parse(localStorage['tubgrove.token'])}}).then(a => a.json()));
    assert.ok(me.until);
    await helper.view('#/phone');
    assert.equal(await helper.locator('h2', {hasText: 'Calendar'}).count(), 0);
    assert.deepEqual(await texts(helper.locator('main button')), ['Forget this phone\u2019s token']);
    await helper.view('#/');
    await helper.context().route('**/api/v1/entries', route => route.fulfill({status: 422, contentType: 'application/problem+json',
      body: JSON.stringify({type: 'about:blank', title: 'no', status: 422, detail: 'no such pot', right: 'another'})}));
    await helper.locator('.line button', {hasText: 'Other'}).first().tap();
    await helper.locator('.line').first().getByLabel('Note').fill('leaves curl');
    await helper.locator('.line').first().locator('form', {has: helper.getByLabel('Note')}).locator('button').tap();
    await helper.locator('#strip a', {hasText: '1 not taken'}).tap();
    await helper.locator('.wrong', {hasText: 'no such pot. Right would be: another'}).waitFor();
    await helper.context().unroute('**/api/v1/entries');
    await helper.locator('button', {hasText: 'Throw away'}).tap();
    await helper.waitForFunction(() => document.getElementById('strip').hidden);
    assert.match(await helper.locator('main').textContent(), /Everything is sent/);
  });

  it('has the visit for paper, with cans', async () => {
    await helper.view('#/');
    await helper.locator('a', {hasText: 'Sheet for paper'}).tap();
    await helper.locator('.boxed').first().waitFor();
    const visit = JSON.parse(other.run(morning, '--json', 'visit', '2026-07-20'));
    assert.equal(await helper.locator('tbody tr').count(), visit.pours.length);
    assert.match(await helper.locator('main').textContent(), /From yard: \(1\)/);
  });

  it('passes a checker of accessibility, and met no fault', async () => {
    await helper.view('#/');
    await helper.evaluate(axe_source);
    const found = await helper.evaluate(() => window.axe.run(document, {runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice']}));
    assert.deepEqual(found.violations.map(v => v.id + ': ' + v.nodes.map(n => n.html).join(' | ')), []);
    assert.deepEqual(helper.faults, []);
  });
});
