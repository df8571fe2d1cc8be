export interface PageParts {
  title: string;
  nonce: string;
  script: string;
  style: string;
  /** Where the host serves the extension's own files from. */
  cspSource: string;
  language: string;
}

/**
 * The page, set once for each panel: its script builds everything else. The policy lets the page
 * load its own script and style and nothing else, from nowhere else.
 */
export function pageHtml({ title, nonce, script, style, cspSource, language }: PageParts): string {
  const policy = [
    "default-src 'none'",
    `script-src 'nonce-${nonce}'`,
    `style-src ${cspSource}`,
    "base-uri 'none'",
    "form-action 'none'",
  ].join('; ');
  return `<!DOCTYPE html>
<html lang="${escape(language)}">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${escape(policy)}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escape(title)}</title>
<link rel="stylesheet" href="${escape(style)}">
</head>
<body data-vscode-context='{"preventDefaultContextMenuItems":true}'>
<script nonce="${nonce}" src="${escape(script)}"></script>
</body>
</html>
`;
}

function escape(text: string): string {
  return text.replaceAll('&', '&amp;').replaceAll('<', '&lt;').replaceAll('"', '&quot;');
}
