import type { PageState, ToHost, ToPage } from '../messages.js';

/** The line between the page and whoever shows it. */
export interface Channel {
  post(message: ToHost): void;
  onMessage(listener: (message: ToPage) => void): void;
  load(): PageState;
  save(state: PageState): void;
}

interface EditorApi {
  postMessage(message: ToHost): void;
  getState(): PageState | undefined;
  setState(state: PageState): void;
}

declare function acquireVsCodeApi(): EditorApi;

/** The editor gives its end to a page once; a bare browser has to bring a function of that name. */
export function openChannel(): Channel {
  const editor = acquireVsCodeApi();
  return {
    post: (message) => editor.postMessage(message),
    onMessage: (listener) =>
      window.addEventListener('message', (event: MessageEvent<ToPage>) => listener(event.data)),
    load: () => editor.getState() ?? { cameras: [] },
    save: (state) => editor.setState(state),
  };
}
