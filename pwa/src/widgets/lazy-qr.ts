/** The QR code with its drawing program, loaded where one is shown. */

import { lazy } from "./lazy";

export const QrCode = lazy(() => import("./qr-code"));
