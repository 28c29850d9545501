// Command wasm is the engine as a browser's worker loads it: one function that
// takes a call and returns its duties, both as bytes.
package main

import (
	"syscall/js"

	"rootledger/pwa/bridge"
)

// A panic is not caught: it ends this instance with its stack in the console,
// and the worker boots a new one from what the phone kept.
func main() {
	var engine bridge.Engine
	handle := func(_ js.Value, args []js.Value) any {
		call := make([]byte, args[0].Get("length").Int())
		js.CopyBytesToGo(call, args[0])
		duties := engine.Handle(call)
		out := js.Global().Get("Uint8Array").New(len(duties))
		js.CopyBytesToJS(out, duties)
		return out
	}
	js.Global().Set("rootledgerHandle", js.FuncOf(handle))
	if ready := js.Global().Get("rootledgerReady"); ready.Type() == js.TypeFunction {
		ready.Invoke()
	}
	select {}
}
