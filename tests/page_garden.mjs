// A garden with its service, and a phone to look at it: what page_test.mjs stands on.
import {spawn, spawnSync} from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import {createRequire} from 'node:module';

const [program, chromium_program, modules] = process.argv.slice(2, 5).map(p => path.resolve(p));
const load = createRequire(path.join(modules, 'of-the-tests.js'));
export const {chromium} = load('playwright-core');
export const acorn = load('acorn');
export const axe_source = fs.readFileSync(load.resolve('axe-core/axe.min.js'), 'utf8');

export const morning = '2026-07-14T07:05:00+02:00';
const zone = '+02:00';

const configuration = `site: {name: Lark Terrace, latitude: 47.9, longitude: 20.3, elevation: 340 m, timezone: Europe/Budapest, wind_height: 2 m}
bays:
  - {id: south-wall, light: full, shelter: sheltered, rain: eaves, place: ground, ground: paving, order: 1}
  - {id: steps, light: full, shelter: usual, rain: open, place: ground, ground: gravel, order: 2}
walks: {morning: 07:00, evening: no, issue_before: 1 h}
carry: {can: 9 L, cans: 2, mark: 0.5 L, passes: 2, taps: [{id: yard, near: [south-wall, steps]}]}
doors: {listen: ['127.0.0.1:0'], this_machine: DOOR}
`;

const pots = [
  ['1', 'south-wall', 'container.size=40L', 'tree.a.species=apple', 'tree.a.rootstock=M.27', 'tree.a.planted=2022-11-19', 'tree.a.leaves=dense'],
  ['7', 'steps', 'container.size=30L', 'tree.a.species=plum', 'tree.a.rootstock=Pixy', 'tree.a.planted=2021-11-13', 'label=by the gate'],
  ['8', 'steps', 'container.size=45L', 'tree.a.species=apple', 'tree.a.rootstock=M.9', 'tree.a.planted=2022-03-26'],
  ['lemon', 'south-wall', 'container.size=20L', 'tree.a.species=citrus', 'tree.a.vigour=dwarfing', 'tree.a.planted=2021-04-01']
];

// A dry and hot stretch, hour by hour; invented. The time is an hour's end.
function hourlyWeather(days) {
  const rows = ['time,air_temperature [degC],relative_humidity [%],wind_speed [m s-1],surface_downwelling_shortwave_flux_in_air [W m-2],precipitation_amount:sum [mm]'];
  for (let n = 1; n <= 24 * days; n += 1) {
    const end = new Date(Date.UTC(2026, 6, 1, n)), hour = end.getUTCHours(), light = Math.max(0, 1 - Math.pow((hour - 13) / 7.5, 2));
    const rain = end.getUTCDate() === 5 && hour === 16 ? 6 : 0;
    rows.push([end.toISOString().slice(0, 19) + zone, (19 + 13 * light).toFixed(1), (75 - 42 * light).toFixed(0), (0.8 + 1.4 * light).toFixed(1), (820 * light).toFixed(0), rain].join(','));
  }
  return rows.join('\n') + '\n';
}

export class Garden {
  constructor() {
    this.folder = fs.mkdtempSync(path.join(os.tmpdir(), 'tubgrove-page-test-'));
    this.env = Object.assign({}, process.env, {HOME: this.folder, TUBGROVE_CONFIG: path.join(this.folder, 'tubgrove.yaml'), TUBGROVE_DATA: path.join(this.folder, 'data'), TUBGROVE_CLOCK: 'set', TZ: 'Europe/Budapest', LANG: 'C.UTF-8'});
  }

  run(at, ...words) {
    const done = spawnSync(program, (at ? ['--at', at] : []).concat(words), {env: this.env, cwd: this.folder, encoding: 'utf8', timeout: 120000});
    if (done.status !== 0) throw new Error(words.join(' ') + ': ' + done.stdout + done.stderr);
    return done.stdout;
  }

  // A fortnight as it is lived: each morning the readings of the day before come in, and `forecast(day)`; its list is poured.
  live(forecast) {
    const all = hourlyWeather(13).split('\n'), heads = all[0];
    for (let day = 2; day <= 14; day += 1) {
      const date = '2026-07-' + ('0' + day).slice(-2), at = date + 'T05:10:00' + zone;
      fs.writeFileSync(path.join(this.folder, 'weather.csv'), [heads].concat(all.slice(1 + 24 * (day - 2), 1 + 24 * (day - 1))).join('\n') + '\n');
      this.run(at, 'weather', 'add', 'weather.csv');
      fs.writeFileSync(path.join(this.folder, 'forecast.csv'), forecast(day));
      this.run(at, 'weather', 'add', '--forecast', '--issued', date + 'T05:00:00' + zone, '--source', 'service', 'forecast.csv');
      if (day === 14) continue;
      this.run(date + 'T06:30:00' + zone, 'round');
      this.run(date + 'T07:30:00' + zone, 'did', 'round', 'all');
    }
    return this;
  }

  make(door = 'open', live = null) {
    fs.writeFileSync(this.env.TUBGROVE_CONFIG, configuration.replace('DOOR', door));
    pots.forEach(([id, bay, ...facts]) => this.run('2026-07-01T06:00:00' + zone, 'pot', 'add', id, 'bay=' + bay, ...facts));
    if (live) return this.live(live);
    fs.writeFileSync(path.join(this.folder, 'weather.csv'), hourlyWeather(12));
    this.run('2026-07-13T05:00:00' + zone, 'weather', 'add', 'weather.csv');
    // Yesterday's list was issued and nobody answered it.
    this.run('2026-07-13T06:00:00' + zone, 'round');
    fs.writeFileSync(path.join(this.folder, 'weather.csv'), hourlyWeather(13));
    this.run('2026-07-14T05:00:00' + zone, 'weather', 'add', 'weather.csv');
    return this;
  }

  daybook() { return JSON.parse(this.run(morning, '--json', 'daybook', '--from', '2026-07-13')); }

  // Starts the service; the clock stands at `morning`.
  serve() {
    this.service = spawn(program, ['--at', morning, 'serve'], {env: this.env, cwd: this.folder, stdio: ['ignore', 'ignore', 'pipe']});
    return new Promise((yes, no) => {
      let told = '';
      const ended = () => no(new Error('the service ended: ' + told));
      this.service.once('exit', ended);
      this.service.stderr.on('data', part => {
        told += part;
        const found = /listening: door=(\S+)/.exec(told);
        if (!found) return;
        this.service.removeListener('exit', ended);
        this.base = 'http://' + found[1] + '/';
        yes(this);
      });
    });
  }

  async end() {
    if (this.service && this.service.exitCode === null) {
      const ended = new Promise(yes => this.service.once('exit', yes));
      this.service.kill('SIGTERM');
      await ended;
    }
    fs.rmSync(this.folder, {recursive: true, force: true});
  }
}

export async function openBrowser() {
  return chromium.launch({executablePath: chromium_program, args: ['--no-sandbox', '--disable-dev-shm-usage']});
}

// A phone: what it said wrong is kept in `faults`, and what went over the line in `lines`.
export async function phone(browser, garden, more = {}) {
  const context = await browser.newContext(Object.assign({viewport: {width: 375, height: 667}, hasTouch: true, isMobile: true, serviceWorkers: 'block'}, more));
  const page = await context.newPage();
  page.faults = [];
  page.lines = [];
  page.on('pageerror', error => page.faults.push(String(error)));
  page.on('console', told => { if (told.type() === 'error' && !/Failed to load resource|net::ERR/.test(told.text())) page.faults.push(told.text()); });
  page.on('response', answer => page.lines.push({path: new URL(answer.url()).pathname, method: answer.request().method(), status: answer.status(), answer}));
  page.view = async hash => {
    await page.goto(garden.base + hash);
    await page.waitForFunction(() => document.querySelector('main h1') && !/Fetching/.test(document.querySelector('main').textContent));
  };
  return page;
}
