import type { Camera } from '../messages.js';
import {
  cornerOf,
  fitted,
  panned,
  type Point,
  revealing,
  scaledTo,
  type Size,
  zoomedAt,
} from './camera.js';

const wheelStep = 0.0015;
const buttonStep = 1.25;
const keyPanPx = 60;
/** A pointer that moved less than this between down and up has clicked. */
const clickPx = 4;

/** Zooms and pans one picture on its stage by wheel, pointer and keys. */
export class Viewport {
  private readonly stage: HTMLElement;
  private svg: SVGSVGElement | undefined;
  private picture: Size = { width: 1, height: 1 };
  /** Undefined: the whole picture, whatever the size of the stage. */
  private camera: Camera | undefined;
  private readonly moved: (camera: Camera | undefined) => void;

  constructor(stage: HTMLElement, moved: (camera: Camera | undefined) => void) {
    this.stage = stage;
    this.moved = moved;
    stage.addEventListener('wheel', (event) => this.onWheel(event), { passive: false });
    stage.addEventListener('pointerdown', (event) => this.onPointerDown(event));
    stage.addEventListener('keydown', (event) => this.onKey(event));
    new ResizeObserver(() => this.apply()).observe(stage);
  }

  /** Puts a picture on the stage; without a camera all of it is shown. */
  show(svg: SVGSVGElement, picture: Size, camera: Camera | undefined): void {
    this.svg = svg;
    this.picture = picture;
    this.camera = camera;
    this.apply();
  }

  zoomIn(): void {
    this.zoomAtCentre(buttonStep);
  }

  zoomOut(): void {
    this.zoomAtCentre(1 / buttonStep);
  }

  actualSize(): void {
    this.move(scaledTo(this.now(), 1));
  }

  fit(): void {
    this.move(undefined);
  }

  /** Moves to the first of some elements that stand for one thing, unless one of them is seen. */
  reveal(elements: readonly Element[]): void {
    const [first, ...others] = elements;
    const corner = this.svg?.getBoundingClientRect();
    if (first === undefined || corner === undefined || others.some((each) => this.isSeen(each))) {
      return;
    }
    const camera = this.now();
    const box = first.getBoundingClientRect();
    const wanted = revealing(camera, this.size(), {
      x: (box.x - corner.x) / camera.scale,
      y: (box.y - corner.y) / camera.scale,
      width: box.width / camera.scale,
      height: box.height / camera.scale,
    });
    if (
      Math.abs(wanted.centreX - camera.centreX) > 0.5 ||
      Math.abs(wanted.centreY - camera.centreY) > 0.5
    ) {
      this.move(wanted);
    }
  }

  private isSeen(element: Element): boolean {
    const stage = this.stage.getBoundingClientRect();
    const box = element.getBoundingClientRect();
    const overlapsAcross = box.right > stage.left && box.left < stage.right;
    return overlapsAcross && box.bottom > stage.top && box.top < stage.bottom;
  }

  private now(): Camera {
    return this.camera ?? fitted(this.picture, this.size());
  }

  private size(): Size {
    return { width: this.stage.clientWidth, height: this.stage.clientHeight };
  }

  private zoomAtCentre(factor: number): void {
    const { width, height } = this.size();
    this.move(zoomedAt(this.now(), this.size(), { x: width / 2, y: height / 2 }, factor));
  }

  private move(camera: Camera | undefined): void {
    this.camera = camera;
    this.apply();
    this.moved(camera);
  }

  private apply(): void {
    const { width, height } = this.size();
    if (this.svg === undefined || width === 0 || height === 0) {
      return;
    }
    const camera = this.now();
    const corner = cornerOf(camera, { width, height });
    this.svg.style.width = `${this.picture.width * camera.scale}px`;
    this.svg.style.height = `${this.picture.height * camera.scale}px`;
    this.svg.style.transform = `translate(${corner.x}px, ${corner.y}px)`;
  }

  private onWheel(event: WheelEvent): void {
    if (this.svg === undefined) {
      return;
    }
    event.preventDefault();
    const unit = event.deltaMode === WheelEvent.DOM_DELTA_LINE ? 20 : 1;
    if (event.shiftKey) {
      this.pan({ x: -(event.deltaX || event.deltaY) * unit, y: 0 });
      return;
    }
    // A pinch on a touchpad comes as a wheel with Ctrl, in small steps.
    const factor = Math.exp(-event.deltaY * unit * wheelStep * (event.ctrlKey ? 6 : 1));
    this.move(zoomedAt(this.now(), this.size(), this.onStage(event), factor));
  }

  private onPointerDown(event: PointerEvent): void {
    if (event.button > 1 || this.svg === undefined) {
      return;
    }
    let last = { x: event.clientX, y: event.clientY };
    const first = last;
    let isDragging = false;
    const drag = (move: PointerEvent) => {
      isDragging ||= Math.hypot(move.clientX - first.x, move.clientY - first.y) > clickPx;
      if (isDragging) {
        this.stage.classList.add('is-dragging');
        this.pan({ x: move.clientX - last.x, y: move.clientY - last.y });
        last = { x: move.clientX, y: move.clientY };
      }
    };
    const drop = () => {
      window.removeEventListener('pointermove', drag);
      window.removeEventListener('pointerup', drop);
      window.removeEventListener('pointercancel', drop);
      // The click that follows a drag is none; it comes in the same turn of the event loop.
      setTimeout(() => this.stage.classList.remove('is-dragging'));
    };
    window.addEventListener('pointermove', drag);
    window.addEventListener('pointerup', drop);
    window.addEventListener('pointercancel', drop);
  }

  private onKey(event: KeyboardEvent): void {
    if (event.ctrlKey || event.metaKey || event.altKey) {
      return;
    }
    const action = {
      '+': () => this.zoomIn(),
      '=': () => this.zoomIn(),
      '-': () => this.zoomOut(),
      '0': () => this.fit(),
      '1': () => this.actualSize(),
    }[event.key];
    const direction = event.shiftKey ? panDirections[event.key] : undefined;
    if (action !== undefined) {
      action();
    } else if (direction !== undefined) {
      this.pan({ x: direction.x * keyPanPx, y: direction.y * keyPanPx });
    } else {
      return;
    }
    event.preventDefault();
    event.stopImmediatePropagation();
  }

  private pan(by: Point): void {
    this.move(panned(this.now(), this.picture, by));
  }

  private onStage(event: MouseEvent): Point {
    const stage = this.stage.getBoundingClientRect();
    return { x: event.clientX - stage.x, y: event.clientY - stage.y };
  }
}

/** Shift and an arrow move the sight, so the picture goes the other way. */
const panDirections: Record<string, Point> = {
  ArrowLeft: { x: 1, y: 0 },
  ArrowRight: { x: -1, y: 0 },
  ArrowUp: { x: 0, y: 1 },
  ArrowDown: { x: 0, y: -1 },
};
