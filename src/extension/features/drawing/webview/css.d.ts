/** The bundler puts imported style sheets into a file beside the script. */
declare module '*.css';
