//! (room being laid)
