/** The only door to express: route files take what they need from here. */
export { default as express, Router } from 'express';
export type { Express, NextFunction, Request, Response } from 'express';
