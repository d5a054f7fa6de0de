//! Money shared by weights, so that the parts sum to it.

use quantity::Money;
use rust_decimal::Decimal;

use super::Refused;
use super::answer::Answer;
use super::quantities::{bare, money, refused, required};

#[derive(Debug, clap::Args)]
#[command(after_help = "Example:\n  combwright reckon share --amount \"10.00 GBP\" --weights 1,1,1")]
pub(super) struct Flags {
    /// The money to be shared
    #[arg(long, value_name = "AMOUNT", allow_hyphen_values = true)]
    amount: Option<String>,
    /// The weight of each share, with commas between
    #[arg(long, value_name = "LIST", allow_hyphen_values = true)]
    weights: Option<String>,
}

const ACCEPTED: &str =
    "numbers of nothing or more with commas between, not all of them nothing, such as 1,1,1 or 2,0.5,";

pub(super) fn reckon(flags: &Flags) -> Result<Answer, Refused> {
    let amount = money("--amount", flags.amount.as_ref())?;
    let weights = weights(required("--weights", flags.weights.as_ref(), ACCEPTED)?)?;
    let shares = amount
        .share(&weights)
        .ok_or_else(|| refused("--weights", "all weights are nothing", ACCEPTED))?;
    let minor: Vec<i64> = shares.iter().map(|share| share.minor()).collect();
    Ok(Answer::saying(sentence(amount, &shares))
        .with("shares", minor)
        .with("amount_minor", amount.minor())
        .with("currency", amount.currency().as_str())
        .noting([
            "what is left after rounding down goes to the largest remainders, one minor unit each; among equals to the first"
                .to_owned(),
        ]))
}

/// The weights in whole steps of the finest of them.
fn weights(typed: &str) -> Result<Vec<u64>, Refused> {
    let weights: Vec<Decimal> = typed.split(',').map(weight).collect::<Result<_, _>>()?;
    let finest = weights.iter().map(Decimal::scale).max().unwrap_or(0);
    weights
        .into_iter()
        .map(|weight| {
            whole_steps(weight, finest)
                .ok_or_else(|| refused("--weights", format!("{weight} has too many digits"), ACCEPTED))
        })
        .collect()
}

fn weight(typed: &str) -> Result<Decimal, Refused> {
    let weight = bare("--weights", typed, &[], ACCEPTED)?;
    (weight >= Decimal::ZERO)
        .then_some(weight)
        .ok_or_else(|| refused("--weights", format!("{weight} is less than nothing"), ACCEPTED))
}

fn whole_steps(weight: Decimal, decimals: u32) -> Option<u64> {
    let missing = 10_i128.checked_pow(decimals - weight.scale())?;
    u64::try_from(weight.mantissa().checked_mul(missing)?).ok()
}

fn sentence(amount: Money, shares: &[Money]) -> String {
    let parts: Vec<String> = shares
        .iter()
        .map(|share| share.to_decimal().to_string())
        .collect();
    format!("{} = {amount}", parts.join(" + "))
}
