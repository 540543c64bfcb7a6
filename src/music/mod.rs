//! Sound and musical time: decoding, tempo map, onsets and beats.
