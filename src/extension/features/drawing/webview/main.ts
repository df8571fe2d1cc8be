import './page.css';
import { openChannel } from './channel.js';
import { DrawingPage } from './drawing-page.js';

new DrawingPage(document.body, openChannel());
