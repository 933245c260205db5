/** The QR code with its drawing code, loaded when one is shown. */

import { lazy } from "./lazy";

export const QrCode = lazy(() => import("./qr-code"));
