/** The QR code with its drawing program, loaded where one is shown. */

import { later } from "./lazy";

export const QrCode = later(() => import("./qr-code"));
