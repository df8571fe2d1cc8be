import { placeOf } from '../model/origin.js';
import type { Declaration } from '../model/records.js';
import { defineRule } from './rule.js';
import { isDamaged } from './support/damage.js';

/** A bus type, cable, piece of equipment or assembly of the site's own folder that nothing refers to. */
export const templateUnused = defineRule({
  name: 'template-unused',
  severity: 'warning',
  of: 'site',
  acceptable: true,
  *check(site, _subject, { isOwn, damage }) {
    // A file without a site is a library, whose purpose is to offer templates. And a misspelt name may
    // have meant any of them.
    if (site.settings === undefined || isDamaged(damage)) {
      return;
    }
    const templates: readonly Template[] = [
      ...site.busTypes.values(),
      ...site.cables.values(),
      ...site.equipment.values(),
      ...site.assemblies.values(),
    ];
    for (const record of templates) {
      if (site.templatesUsed.has(record.name) || !isOwn(record.name)) {
        continue;
      }
      yield {
        subject: record.name,
        at: placeOf(record.name, 'name'),
        what: `Nothing in this site uses ${kindText[record.kind]} ${record.name}.`,
        why: 'It may be left over, or something refers to another one by mistake.',
        remedy: 'Remove it, or use it.',
      };
    }
  },
  fixes(_site, finding) {
    return [
      {
        title: `Remove ${finding.subject}`,
        // The site stays as it is, but somebody may be about to use what was just typed.
        kind: 'wiring',
        edits: [
          { kind: 'remove-statement', at: { declaration: finding.at.declaration, part: '' } },
        ],
      },
    ];
  },
});

type Template = Extract<
  Declaration,
  { readonly kind: 'bustype' | 'cable' | 'equipment' | 'assembly' }
>;

const kindText = {
  bustype: 'bus type',
  cable: 'cable',
  equipment: 'equipment',
  assembly: 'assembly',
} as const;
