// A bare number is neither gigahertz nor hertz.
// message: conversion from .double. to|no viable conversion
#include "sim/base/units.h"

#ifdef BAD
const sim::Frequency carrier = 28.0;
#else
const sim::Frequency carrier = sim::Frequency::ghz(28.0);
#endif
