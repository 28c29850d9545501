package rig

// Scripts that run before a page's own and make the device another one.
const (
	// IPhone calls itself one.
	IPhone = `Object.defineProperty(navigator, "userAgent", { get: () => "Mozilla/5.0 (iPhone; CPU iPhone OS 18_0 like Mac OS X) AppleWebKit/605.1.15" });`
	// Android calls itself one.
	Android = `Object.defineProperty(navigator, "userAgent", { get: () => "Mozilla/5.0 (Linux; Android 15; K) AppleWebKit/537.36" });`
	// FromIcon was opened from the home screen.
	FromIcon = `Object.defineProperty(navigator, "standalone", { get: () => true });`
	// PlainAddress takes away what a browser gives at a safe address only.
	PlainAddress = `Object.defineProperty(window, "isSecureContext", { get: () => false });
		for (const name of ["serviceWorker", "mediaDevices", "storage", "locks"]) delete Navigator.prototype[name];`
	// Slow sets the phone's clock back by twelve minutes.
	Slow = `{ const now = Date.now; Date.now = () => now() - 12 * 60_000; }`
	// NoPages lets no service worker be.
	NoPages = `ServiceWorkerContainer.prototype.register = () => Promise.reject(new TypeError("refused"));`
	// Unkept is one whose pages are never kept: no service worker is installed, which takes longer than most of what tests are about.
	Unkept = `if (navigator.serviceWorker) navigator.serviceWorker.register = () => new Promise(() => undefined);`
	// PoorReader has a reader of codes that reads none.
	PoorReader = `window.BarcodeDetector = class {
			static getSupportedFormats() { return Promise.resolve(["qr_code"]); }
			detect() { return Promise.reject(new DOMException("no reader", "NotSupportedError")); }
		};`
)
