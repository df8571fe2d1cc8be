import { editorDrawingOf, drawnAt, type SiteDrawing } from '../../workbench/drawings.js';
import { cursorAt, type Cursor } from '../../workbench/editing/cursor.js';
import { subjectOf } from '../../workbench/editing/subject.js';
import { messageOf } from '../../workbench/types.js';
import type {
  DrawingParams,
  DrawingResult,
  LocateParams,
  Subject,
  SubjectAtParams,
  TextPlace,
} from '../protocol.js';
import type { Session } from '../session.js';
import { ifStillWanted } from '../cancelled.js';

export function drawing(session: Session): void {
  /** What the last picture of each site and view remembers. */
  const memories = new Map<string, SiteDrawing['memory']>();

  session.connection.onRequest(
    'ferrule/drawing',
    ifStillWanted((params: DrawingParams): DrawingResult => {
      const checked = session.siteOf(params.uri);
      if (checked === undefined) {
        return {
          revision: session.revision,
          title: '',
          svg: null,
          problem: 'This file cannot be read.',
        };
      }
      const of = params.of ?? runAt(session, params);
      const key = `${checked.open.root} ${params.view} ${of ?? ''}`;
      const memory = memories.get(key);
      const drawn = editorDrawingOf(checked, {
        view: params.view,
        of,
        memory,
        theme: params.theme,
      });
      memories.set(key, drawn.memory);
      return {
        revision: session.revision,
        site: checked.open.root,
        title: drawn.title,
        ...(drawn.of === undefined ? {} : { of: drawn.of }),
        svg: drawn.svg,
        ...(drawn.problem === undefined ? {} : { problem: drawn.problem }),
        subjects: drawn.subjects.map((subject) => ({ ...subject })),
        findings: drawn.findings.map(({ number, place, located }) => ({
          number,
          rule: located.finding.rule,
          severity: located.finding.severity,
          message: messageOf(located.finding),
          place,
          uri: located.at.file,
          range: located.at.range,
        })),
      };
    }),
  );

  session.connection.onRequest('ferrule/locate', (params: LocateParams): TextPlace | null => {
    const checked = session.siteOf(params.uri);
    const at = checked && drawnAt(checked.open, params.place);
    return at === undefined ? null : { uri: at.file, range: at.range };
  });

  session.connection.onRequest('ferrule/subjectAt', (params: SubjectAtParams): Subject | null => {
    const at = session.at(params.uri, params.position);
    const cursor = at && cursorAt(at.checked.open, at.file.path, at.offset);
    return (at && cursor && subjectOf(at.checked.open, cursor)) ?? null;
  });
}

/** The bus or feed at the position that a request names. */
function runAt(session: Session, params: DrawingParams): string | undefined {
  const at = params.position && session.at(params.uri, params.position);
  const cursor: Cursor | undefined = at && cursorAt(at.checked.open, at.file.path, at.offset);
  return (at && cursor && subjectOf(at.checked.open, cursor))?.run;
}
