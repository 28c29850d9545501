package syncengine

// Bounds of the protocol. Each is announced or checked on both sides.
const (
	Protocol       = 1         // the version that hello names
	MaxFrame       = 256 << 10 // bytes of one message: a radio burst of a tenth of a second
	MaxFrameEvents = 4096      // events of one message and of one commit: 20 ms of folding
	MaxAside       = 4096      // events of one replica kept while those before them are missing
	MaxAsideBytes  = 4 << 20   // of all replicas together: a hostile room can not fill the memory
	MaxReplicas    = 1024      // replicas of one session: a full room, and every phone copied or wiped again and again
	MaxLines       = 16        // histories under one replica id: a phone goes on under a new id at once
	MaxHeads       = 4096      // histories of one session: a vector of them is 110 kB and fits a frame
	maxSkewMs      = 60_000    // how far a remote stamp may pull the local clock ahead
)
