/** Words beside cores and cables. */
import type { SceneCable, SceneCore, SceneStrip } from '../../scene/scene.js';
import { TEXTS, lengthText } from '../../texts.js';

/** Wire number and colour code above a core's line. */
export function coreText(core: SceneCore): string {
  if (core.kind === 'screen') return spaced(core.wireNumber, TEXTS.screen);
  if (core.kind === 'missing') return spaced(core.wireNumber, TEXTS.noCore);
  if (core.kind === 'spare') return spaced(core.colour, TEXTS.spare);
  return spaced(core.wireNumber, core.colour);
}

/** Construction, length and what is special about a cable. */
export function cableText(cable: SceneCable): string {
  return [
    cable.construction,
    lengthText(cable.length),
    TEXTS.cableKinds[cable.kind],
    cable.existing ? TEXTS.existing : '',
  ]
    .filter((text) => text !== '')
    .join(' · ');
}

/** Where a cable goes on: `to FC-1-05, row 2`. */
export function continuationText(
  cable: SceneCable,
  here: SceneStrip | undefined,
  other: SceneStrip | undefined,
  otherRow: number,
): string {
  const direction = cable.from === here?.id ? 'to' : 'from';
  const words = TEXTS.continues(direction, other?.tag ?? '', otherRow);
  return cable.kind === 'main' ? words : `${words}, ${TEXTS.cableKinds[cable.kind]}`;
}

function spaced(...parts: readonly string[]): string {
  return parts.filter((part) => part !== '').join(' ');
}
