/** Stands inside the picture's shadow root: how the page places a picture and what it adds to one. */
export const markStyle = `
svg {
  display: block;
  position: absolute;
  top: 0;
  left: 0;
  overflow: visible;
}

[data-place] {
  cursor: pointer;
}

[data-place]:focus {
  outline: none;
}

.ferrule-mark {
  pointer-events: none;
}

.ferrule-mark .frame {
  fill: none;
  stroke: var(--vscode-focusBorder);
  stroke-width: 2px;
  vector-effect: non-scaling-stroke;
}

.ferrule-mark .halo {
  fill: none;
  stroke: var(--vscode-editor-findMatchHighlightBackground, var(--vscode-focusBorder));
  stroke-opacity: 0.8;
  stroke-width: 14px;
  stroke-linecap: round;
  stroke-linejoin: round;
}

.ferrule-mark.is-cursor .frame {
  stroke-dasharray: 5 3;
}
`;
