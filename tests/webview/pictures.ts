import type { PictureMessage } from '../../src/extension/features/drawing/messages.js';

/** A picture of three devices on one bus over two floors, with one finding. */
export function pictureMessage(
  revision: number,
  changes: Partial<PictureMessage> = {},
): PictureMessage {
  return {
    type: 'picture',
    revision,
    key: 'topology mill',
    target: { view: 'topology', uri: 'file:///site/mill.ferrule' },
    title: 'Mill, topology',
    svg: picture(`revision ${revision}`),
    subjects: [
      { place: 'device:A-1', label: 'A-1, outdoor unit', chain: 'bus:f', area: 'Roof' },
      { place: 'device:A-2', label: 'A-2, indoor unit', chain: 'bus:f', area: 'Level 1' },
      { place: 'device:A-3', label: 'A-3, indoor unit, 1 error', chain: 'bus:f', area: 'Level 1' },
    ],
    findings: [
      {
        number: 1,
        rule: 'terminator-missing',
        severity: 'error',
        message: 'The far end <b>A-3</b> has no terminator.',
        place: 'device:A-3',
        uri: 'file:///site/mill.ferrule',
        range: { start: { line: 4, character: 2 }, end: { line: 4, character: 6 } },
      },
    ],
    ...changes,
  };
}

/** 1000 × 500 units; each device is 100 × 60. */
function picture(note: string): string {
  return `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 1000 500">
  <style>.wire { stroke: rgb(0, 0, 255); fill: none } .vscode-dark .wire { stroke: rgb(0, 255, 255) }</style>
  <path class="wire" data-place="bus:f:1" data-name="f" aria-label="f: A-1 to A-2" d="M150 80 H600 V300" />
  <g data-place="bus:f:2" data-name="f" aria-label="f: A-2 to A-3"><path class="wire" d="M650 330 H850" /></g>
  <g data-place="bus:f:1" data-name="f" aria-label="error 1"><path d="M400 70 L410 90 L390 90 Z" /></g>
  <g data-place="bus:f:pill" data-name="f" aria-label="f"><rect x="300" y="70" width="40" height="20" /></g>
  ${device('A-1', 50, 50)}
  ${device('A-2', 550, 300)}
  ${device('A-3', 850, 300)}
  <g data-place="land:1" data-name="B-1.field" aria-label="B-1, field"><rect id="strip" x="50" y="300" width="60" height="40" /></g>
  <text x="20" y="480">${note}</text>
</svg>`;
}

function device(name: string, x: number, y: number): string {
  return `<g data-place="device:${name}" data-name="${name}" aria-label="${name}" transform="translate(${x} ${y})">
    <rect width="100" height="60" fill="white" stroke="black" /><text x="10" y="35">${name}</text></g>`;
}

/** Everything that a picture must not bring into the page. */
export const hostilePicture = `<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"
    viewBox="0 0 1000 500" onload="window.pwned = 1">
  <script>window.pwned = 2</script>
  <foreignObject width="100" height="100"><body xmlns="http://www.w3.org/1999/xhtml"><img src="/leak-1" onerror="window.pwned = 3" /></body></foreignObject>
  <image href="/leak-2" width="10" height="10" />
  <a href="javascript:window.pwned = 4"><text x="10" y="50">link</text></a>
  <use href="/leak-3#a" /><use xlink:href="/leak-4#a" />
  <animate attributeName="x" onbegin="window.pwned = 5" begin="0s" dur="1s" />
  <style>@import "/leak-5"; rect { stroke: url(/leak-6#a) }</style>
  <rect data-place="device:A-1" aria-label="A-1" x="10" y="10" width="100" height="60" filter="url(/leak-7#a)"
    style="stroke: url(/leak-8#a)" onclick="window.pwned = 6" />
  <text x="10" y="200">&lt;script&gt;window.pwned = 7&lt;/script&gt;</text>
</svg>`;
