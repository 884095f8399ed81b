//! Tape corrections of `fence tie`: fields to the library's form, and what was
//! added.

use anyhow::Context;
use fence_geom::{
    Angle, CorrectionKind, Length, Pull, STEEL_TAPE_MODULUS_PSI, Sag, Slope, TapeCorrections,
    TrueLength, Warmth,
};

use crate::contract::net::{
    CorrectedReading, CorrectionName, CorrectionPart, NetDistance, TapeCorrectionFields,
};
use crate::typed;

/// Corrections of the two tapes that find a point.
#[derive(clap::Args, Debug, Default)]
pub(super) struct CorrectionArgs {
    /// Correct the tapes for their temperature, that of steel with its length at 68
    #[arg(
        long,
        value_name = "DEG_F",
        requires = "tape",
        allow_negative_numbers = true
    )]
    temperature: Option<f64>,
    /// Correct the tapes for a wrong length, as in 100ft=100.02ft
    #[arg(long, value_name = "MARKED=ACTUAL", requires = "tape", value_parser = true_length)]
    true_length: Option<TrueLength>,
    /// As a file asks for them.
    #[arg(skip)]
    asked: TapeCorrections,
}

/// Corrects readings of one tape.
#[derive(Default)]
pub(super) struct Corrector {
    corrections: TapeCorrections,
}

impl CorrectionArgs {
    /// The arguments as a request gives them.
    pub(super) fn of(fields: Option<&TapeCorrectionFields>) -> anyhow::Result<Self> {
        Ok(Self {
            asked: of(fields)?.corrections,
            ..Self::default()
        })
    }

    pub(super) fn corrector(&self) -> Corrector {
        Corrector {
            corrections: TapeCorrections {
                warmth: self.temperature.map(Warmth::of_steel).or(self.asked.warmth),
                true_length: self.true_length.or(self.asked.true_length),
                ..self.asked
            },
        }
    }
}

/// Reads `MARKED=ACTUAL`.
fn true_length(text: &str) -> anyhow::Result<TrueLength> {
    let (marked, actual) = text
        .split_once('=')
        .with_context(|| format!("{text:?} is not MARKED=ACTUAL, like 100ft=100.02ft"))?;
    Ok(TrueLength {
        marked: typed::length(marked)?.value,
        actual: typed::length(actual)?.value,
    })
}

/// The corrections that are asked for: none without fields.
pub(super) fn of(fields: Option<&TapeCorrectionFields>) -> anyhow::Result<Corrector> {
    let Some(fields) = fields else {
        return Ok(Corrector::default());
    };
    let corrections = TapeCorrections {
        true_length: match (fields.marked, fields.actual) {
            (Some(marked), Some(actual)) => Some(TrueLength {
                marked: marked.0,
                actual: actual.0,
            }),
            (None, None) => None,
            _ => anyhow::bail!("`marked` and `actual` go together: give both or none"),
        },
        warmth: warmth(fields)?,
        pull: pull(fields)?,
        sag: sag(fields)?,
    };
    anyhow::ensure!(
        fields.pull_lb.is_none() || corrections.pull.is_some() || corrections.sag.is_some(),
        "`pull_lb` alone corrects nothing: give `standard_pull_lb` and `section_sq_in` for \
         stretch, or `weight_lb_per_ft` and `supports_apart` for sag"
    );
    Ok(Corrector { corrections })
}

fn warmth(fields: &TapeCorrectionFields) -> anyhow::Result<Option<Warmth>> {
    let Some(deg_f) = fields.temperature_deg_f else {
        anyhow::ensure!(
            fields.standard_temperature_deg_f.is_none() && fields.expansion_per_deg_f.is_none(),
            "`temperature_deg_f` is missing: what temperature did the tape have?"
        );
        return Ok(None);
    };
    let steel = Warmth::of_steel(deg_f);
    Ok(Some(Warmth {
        deg_f,
        standard_deg_f: fields
            .standard_temperature_deg_f
            .unwrap_or(steel.standard_deg_f),
        expansion_per_deg_f: fields
            .expansion_per_deg_f
            .unwrap_or(steel.expansion_per_deg_f),
    }))
}

fn pull(fields: &TapeCorrectionFields) -> anyhow::Result<Option<Pull>> {
    match (
        fields.pull_lb,
        fields.standard_pull_lb,
        fields.section_sq_in,
    ) {
        (Some(pounds), Some(standard_pounds), Some(area_sq_in)) => Ok(Some(Pull {
            pounds,
            standard_pounds,
            area_sq_in,
            modulus_psi: fields.modulus_psi.unwrap_or(STEEL_TAPE_MODULUS_PSI),
        })),
        (_, None, None) => Ok(None),
        _ => anyhow::bail!(
            "`pull_lb`, `standard_pull_lb` and `section_sq_in` go together: give all or none"
        ),
    }
}

fn sag(fields: &TapeCorrectionFields) -> anyhow::Result<Option<Sag>> {
    match (
        fields.weight_lb_per_ft,
        fields.pull_lb,
        fields.supports_apart,
    ) {
        (Some(pounds_per_foot), Some(pull_pounds), Some(span)) => Ok(Some(Sag {
            pounds_per_foot,
            pull_pounds,
            span: span.0,
        })),
        (None, _, None) => Ok(None),
        _ => anyhow::bail!(
            "`weight_lb_per_ft`, `pull_lb` and `supports_apart` go together: give all or none"
        ),
    }
}

/// How the ground lay under a distance.
pub(super) fn slope(given: &NetDistance) -> anyhow::Result<Option<Slope>> {
    match (given.rise, given.grade_percent, given.vertical_deg) {
        (None, None, None) => Ok(None),
        (Some(rise), None, None) => Ok(Some(Slope::Rise(rise.0))),
        (None, Some(percent), None) => Ok(Some(Slope::Grade(percent / 100.0))),
        (None, None, Some(degrees)) => Ok(Some(Slope::Vertical(Angle::from_degrees(degrees)?))),
        _ => anyhow::bail!("give one of `rise`, `grade_percent` and `vertical_deg`"),
    }
}

impl Corrector {
    /// The level distance that a reading stands for.
    pub(super) fn level(
        &self,
        words: &str,
        read: Length,
        slope: Option<Slope>,
        corrected: &mut Vec<CorrectedReading>,
    ) -> anyhow::Result<Length> {
        let answer = self
            .corrections
            .correct(read, slope)
            .with_context(|| words.to_owned())?;
        if !answer.parts.is_empty() {
            corrected.push(CorrectedReading {
                tape: words.to_owned(),
                read_ft: read.feet(),
                level_ft: answer.level.feet(),
                parts: answer
                    .parts
                    .iter()
                    .map(|(kind, add)| CorrectionPart {
                        kind: name(*kind),
                        add_ft: add.feet(),
                    })
                    .collect(),
            });
        }
        Ok(answer.level)
    }
}

fn name(kind: CorrectionKind) -> CorrectionName {
    match kind {
        CorrectionKind::TrueLength => CorrectionName::TrueLength,
        CorrectionKind::Temperature => CorrectionName::Temperature,
        CorrectionKind::Pull => CorrectionName::Pull,
        CorrectionKind::Sag => CorrectionName::Sag,
        CorrectionKind::Slope => CorrectionName::Slope,
    }
}

/// A corrected reading in words.
pub(super) fn words(corrected: &CorrectedReading) -> String {
    let parts: Vec<String> = corrected
        .parts
        .iter()
        .map(|part| {
            let what = match part.kind {
                CorrectionName::TrueLength => "length of the tape",
                CorrectionName::Temperature => "temperature",
                CorrectionName::Pull => "pull",
                CorrectionName::Sag => "sag",
                CorrectionName::Slope => "slope",
            };
            format!("{what} {:+.4}", part.add_ft)
        })
        .collect();
    format!(
        "{}: read {:.3} ft, taken as {:.3} ft level ({})",
        corrected.tape,
        corrected.read_ft,
        corrected.level_ft,
        parts.join(", ")
    )
}
